"""Learning a tank curve from fills: what it finds, what it is worth, and what it doubts."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from consumables.gauge import EIGHTHS, NO_GAUGE, PERCENT, SIXTEENTHS, OffScale
from consumables.tank import Fill, Learned, TankCurve, learn, straight_line
from consumables.tank.fitting import fit
from tests.consumables.made import BELLY, D, filled, many


def kinds(learned: Learned) -> list[str]:
    return [doubt.kind for doubt in learned.doubts]


def furthest(curve: TankCurve, other: TankCurve) -> D:
    parts = [D(place) / 16 for place in range(17)]
    return max(abs(curve.litres_at(part) - other.litres_at(part)) for part in parts)


def test_without_fills_it_is_the_straight_line() -> None:
    learned = learn([], EIGHTHS, D(90))
    assert learned.curve == straight_line(D(90), 8)
    assert (learned.residuals, learned.doubts, learned.differs) == ((), (), False)
    assert max(learned.standard_uncertainty) == D("9.00")


def test_forty_receipts_find_the_curve() -> None:
    learned = learn(many(40), EIGHTHS, D(90))
    assert furthest(learned.curve, BELLY) < 1
    assert learned.differs
    assert not learned.doubts


def test_it_is_known_best_at_empty_and_full() -> None:
    u = learn(many(20), EIGHTHS, D(90)).standard_uncertainty
    assert (u[0], u[-1] < D("0.2")) == (0, True)
    assert 1 < max(u[1:-1]) < 3


def test_few_receipts_stay_near_the_straight_line() -> None:
    straight = straight_line(D(90), 8)
    away = [furthest(learn(many(count), EIGHTHS, D(90)).curve, straight) for count in (1, 4, 40)]
    assert away == sorted(away)
    assert not learn(many(1), EIGHTHS, D(90)).differs


def test_a_straight_tank_stays_straight() -> None:
    learned = learn(many(40, straight_line(D(90), 8)), EIGHTHS, D(90))
    assert furthest(learned.curve, straight_line(D(90))) < D("0.1")
    assert not learned.differs


def test_the_scale_gives_the_knots() -> None:
    assert [learn([], scale, D(90)).curve.spans for scale in (EIGHTHS, SIXTEENTHS, PERCENT)] == [8, 16, 16]


def test_a_known_half_width_counts_instead_of_the_scale() -> None:
    rough, fine = (learn(many(10), EIGHTHS, D(90), off_by=D(part)) for part in ("0.0625", "0.01"))
    assert max(fine.standard_uncertainty) < max(rough.standard_uncertainty)


def test_a_receipt_of_another_unit_is_set_aside_with_its_figures() -> None:
    learned = learn([*many(20), filled("strange", "0.75", over="35")], EIGHTHS, D(90))
    assert kinds(learned) == ["off"]
    assert learned.doubts[0].key == "strange"
    assert str(learned.doubts[0].sentence).startswith("The receipt has 52.5 L; by the gauge it was 1")
    assert learned.used == 20
    assert furthest(learned.curve, BELLY) < 1


@pytest.mark.parametrize(
    ("fill", "kind"),
    [
        (Fill("a", D("0.5"), D(1), D(0)), "no_fuel"),
        (Fill("a", D("0.1"), D(1), D(120)), "more_than_tank"),
        (Fill("a", D("0.5"), D("0.5"), D(30)), "gauge_did_not_rise"),
    ],
)
def test_a_fill_that_cannot_be_teaches_nothing(fill: Fill, kind: str) -> None:
    learned = learn([fill], EIGHTHS, D(90))
    assert kinds(learned) == [kind]
    assert learned.residuals == ()


def test_many_that_disagree_doubt_the_unit() -> None:
    strange = [filled(f"s{number}", "0.5", over="-30") for number in range(4)]
    learned = learn([*many(20), *strange], EIGHTHS, D(90))
    assert kinds(learned).count("off") == 4
    assert "4 of 24 receipts" in str(next(doubt.sentence for doubt in learned.doubts if doubt.kind == "many_off"))


def test_a_gauge_that_sticks_is_told_and_widens_the_doubt() -> None:
    sticking = [replace(fill, litres=fill.litres + (5 if place % 2 else -5)) for place, fill in enumerate(many(40))
                if fill.before < D("0.9")]  # fmt: skip
    calm, found = (learn(fills, SIXTEENTHS, D(90)) for fills in (many(40), sticking))
    assert "scatter" in kinds(found)
    assert max(found.standard_uncertainty) > max(calm.standard_uncertainty)


def test_another_tank_than_the_papers_say() -> None:
    smaller = TankCurve(tuple(litres * 75 / 90 for litres in BELLY.litres))
    learned = learn(many(40, smaller), EIGHTHS, D(90))
    assert "holds 7" in str(next(doubt.sentence for doubt in learned.doubts if doubt.kind == "capacity"))


def test_residuals_say_the_receipt_less_the_curve() -> None:
    learned = learn([*many(20), filled("over", "0.5", over="3")], EIGHTHS, D(90))
    over = learned.residuals[-1]
    assert over.used
    assert over.over == over.fill.litres - over.expected
    assert D(2) < over.over < D(4)
    assert over.u > D("1.6")


def test_without_a_gauge_nothing_is_learned() -> None:
    with pytest.raises(OffScale, match="no gauge"):
        learn([], NO_GAUGE, D(90))


def test_increments_agree_with_another_monotone_least_squares() -> None:
    """With the pull to the straight line too weak to matter: levels by isotonic regression of scipy."""
    levels = np.array([0.0, 20, 18, 40, 60, 55, 70, 80, 90])
    found = fit(np.tril(np.ones((8, 8))), levels[1:], np.full(8, 1e-3), 90.0)
    assert np.cumsum(found.increments) == pytest.approx(isotonic_regression(levels[1:]).x, abs=0.01)


FILLS = st.lists(
    st.tuples(st.decimals(0, "0.9", places=2), st.decimals("0.05", "0.6", places=2), st.decimals(1, 85, places=1)),
    max_size=12,
)


def drawn(rows) -> list[Fill]:
    return [
        Fill(f"r{place}", before, min(before + rise, D(1)), litres) for place, (before, rise, litres) in enumerate(rows)
    ]


@settings(max_examples=40)
@given(FILLS)
def test_whatever_the_receipts_the_curve_never_falls(rows) -> None:
    learned = learn(drawn(rows), EIGHTHS, D(90))
    assert list(learned.curve.litres) == sorted(learned.curve.litres)
    assert learned.curve.capacity == 90
    assert all(u >= 0 for u in learned.standard_uncertainty)


@settings(max_examples=40)
@given(st.integers(0, 30), st.decimals("0.01", "0.2", places=3), st.decimals(0, "0.2", places=3))
def test_uncertainty_never_shrinks_when_readings_get_worse(count: int, half: D, worse: D) -> None:
    better, poorer = (learn(many(count), EIGHTHS, D(90), off_by=off) for off in (half, half + worse))
    pairs = zip(better.standard_uncertainty, poorer.standard_uncertainty, strict=True)
    assert all(one <= other for one, other in pairs)


@settings(max_examples=30)
@given(st.integers(1, 30))
def test_uncertainty_never_shrinks_when_a_receipt_is_lost(count: int) -> None:
    more, fewer = (learn(many(number), EIGHTHS, D(90)) for number in (count, count - 1))
    pairs = zip(more.standard_uncertainty, fewer.standard_uncertainty, strict=True)
    assert all(one <= other for one, other in pairs)
