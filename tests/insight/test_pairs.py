"""Which readings make a pair of the same untouched state, and what is said of few."""

from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal

import pytest

from consumables.models import Fill
from fleet.models import Unit
from handover.insight.asking import Asked
from handover.insight.repeatability.pairs import pairs_of
from handover.insight.repeatability.tables import spread_by_branch, spread_by_instrument, spread_by_person
from handover.rental.models import Rental
from handover.turnaround.models import TurnaroundJob
from handover.walkround.asking import keep_sheet
from handover.walkround.models import Reading, WalkRound
from shared.access.models import Person
from tests.factories import BACK_AT, NINE, RentalFactory, UnitFactory

D = Decimal
Handing = Callable[..., WalkRound]


@pytest.fixture
def unit(inverlark: object) -> Unit:
    return UnitFactory(number="407")


@pytest.fixture
def handed_on(unit: Unit, callum: Person, isla: Person) -> Handing:
    """The diesel read at a return by Callum, and at the next pickup by Isla."""

    def hand(came: str, left: str, *, by: Person = isla, bulk: bool = False) -> WalkRound:
        back = WalkRound.objects.create(
            leg=_rental(unit, NINE - timedelta(days=9)).legs.get(), kind="return",
            sheet=keep_sheet(unit, today=NINE.date()),
            started_at=NINE, started_by=callum, finished_at=NINE,
        )  # fmt: skip
        out = WalkRound.objects.create(
            leg=_rental(unit, NINE).legs.get(), kind="pickup", sheet=back.sheet, before=back,
            started_at=NINE + timedelta(hours=5), started_by=isla, finished_at=NINE + timedelta(hours=6),
        )  # fmt: skip
        item = unit.layout.stations.get(number=1).instruments.get(code="diesel")
        Reading.objects.create(walk=back, item=item, value=D(came), at=NINE, by=callum)
        said = {"at": NINE + timedelta(hours=5), "by": by, "in_bulk": bulk}
        Reading.objects.create(walk=out, item=item, value=D(left), **said)
        return out

    return hand


def _rental(unit: Unit, out_at: datetime) -> Rental:
    return RentalFactory(leg=unit, planned_out_at=out_at, planned_back_at=BACK_AT, state="settled")


def test_a_pair(handed_on: Handing, august: Asked) -> None:
    out = handed_on("40", "42.5")
    (pair,) = pairs_of(august)
    assert (pair.measures, pair.unit, pair.branch, pair.difference) == ("fuel", "L", "Inverlark", D("2.5"))
    assert pair.rental == out.leg.rental_id
    assert [name for _pk, name in pair.people] == ["Callum Reid", "Isla Macrae"]


def test_the_latest_reading_of_each_counts(handed_on: Handing, isla: Person, august: Asked) -> None:
    out = handed_on("40", "42.5")
    first = out.readings.get()
    out.readings.create(item=first.item, value=D(41), at=first.at + timedelta(minutes=1), by=isla)
    assert [pair.difference for pair in pairs_of(august)] == [D(1)]


def test_one_person_twice_is_no_pair(handed_on: Handing, callum: Person, august: Asked) -> None:
    handed_on("40", "42.5", by=callum)
    assert pairs_of(august) == []


def test_what_was_copied_is_no_reading(handed_on: Handing, august: Asked) -> None:
    handed_on("40", "40", bulk=True)
    assert pairs_of(august) == []


@pytest.mark.parametrize(("outcome", "pairs"), [("done", 0), ("not_needed", 1)])
def test_a_job_that_changed_the_level(
    handed_on: Handing, unit: Unit, isla: Person, august: Asked, outcome: str, pairs: int
) -> None:
    item = handed_on("40", "90").readings.get().item_id
    TurnaroundJob.objects.create(
        unit=unit, kind="refuel", subject=item, name="Diesel", at=NINE, by=isla, outcome=outcome, note="Full.",
        closed_at=NINE + timedelta(hours=1), closed_by=isla,
    )  # fmt: skip
    assert len(pairs_of(august)) == pairs


@pytest.mark.parametrize(("hours", "pairs"), [(2, 0), (9, 1), (-3, 1)])
def test_a_fill_in_between(handed_on: Handing, unit: Unit, isla: Person, august: Asked, hours: int, pairs: int) -> None:
    item = handed_on("40", "90").readings.get().item
    at = NINE + timedelta(hours=hours)
    Fill.objects.create(unit=unit, instrument=item, before=0, after=1, litres=50, at=at, by=isla)
    assert len(pairs_of(august)) == pairs


def test_few_pairs_are_warned_of_and_nobody_is_named(handed_on: Handing, august: Asked) -> None:
    for left in ("41", "39", "42"):
        handed_on("40", left)
    table = spread_by_instrument(august)
    assert table.rows[0].cells[:3] == ("Fuel", 3, D("1.00"))
    assert table.rows[0].cells[-1] == "L"
    assert "Fewer than 10 pairs" in table.warning
    assert table.drawing is None
    people = spread_by_person(august)
    assert people.rows == ()
    assert "2 people took part in fewer than 10 pairs of any instrument and are not named." in people.unknown
    assert "Isla" not in str(people)


def test_ten_pairs_name_both_readers(handed_on: Handing, august: Asked) -> None:
    for number in range(10):
        handed_on("40", "42" if number % 2 else "38")
    rows = [row.cells for row in spread_by_person(august).rows]
    named = {("Fuel", name, 10, D("1.41")) for name in ("Callum Reid", "Isla Macrae")}
    assert {row[:4] for row in rows} == named
    branch = spread_by_branch(august)
    assert branch.warning == ""
    assert branch.drill is not None
    assert len(set(branch.drill(branch.rows[0].key))) == 10
