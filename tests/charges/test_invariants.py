"""What holds for every statement, whatever was read and agreed."""

from copy import deepcopy
from decimal import Decimal
from itertools import permutations
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from handover.charges import Priced, parse, price
from handover.charges.allocation import in_order, pro_rata
from tests.charges.documents import FUEL, GAS, LATE, cylinder, damaged, document, event, extra, fuel_leg

CREDITS = ("FUEL_CREDIT", "GAS_RECEIPT", "PREPAID_REFUND", "WAIVER", "EARLY_RETURN", "GOODWILL", "RECOVERY")
TIERS = {"standard": "60.00", "heavy": "150.00", "specialist": "400.00"}
GAS_RATE = {**GAS, "service_fee": "10.00", "cylinder_price": "95.00"}
RULES: dict[str, Any] = {
    "fuel": {**FUEL, "service_fee": "25.00", "min_charge": "15.00", "swap_leg_policy": "settle_each_leg"},
    "gas": GAS_RATE,
    "kits": {"first_aid": {"kit_price": "39.00"}},
    "late": LATE,
    "cleaning": {"interior": TIERS},
    "waste": {"grey_fee": "40.00", "toilet_fee": "90.00"},
    "distance": {"included_per_day": "100", "tiers": [{"up_to": None, "rate": "0.29"}]},
    "damage": {"excess": "500.00"},
    "admin": {"per_damage_event": "50.00"},
}

money = st.integers(0, 300_000).map(lambda cents: f"{cents // 100}.{cents % 100:02}")
level = st.integers(0, 8)
weight = st.integers(55, 165).map(lambda tenths: f"{tenths // 10}.{tenths % 10}")
legs = st.builds(
    lambda out, back, gas, unit: {**fuel_leg(out, back, unit=unit), "gas": gas, "odo_out": 0, "odo_in": out * 200},
    level,
    level,
    st.lists(st.builds(cylinder, weight, weight), max_size=2),
    st.sampled_from(["U1", "U2"]),
)
items = st.builds(damaged, st.sampled_from(["left", "right", "roof"]), money, excluded=st.booleans())
events = st.lists(st.lists(items, min_size=1, max_size=3), max_size=3).map(
    lambda found: [event(*some, name=f"E{at}", cause=f"cause {at}") for at, some in enumerate(found)]
)
limits = st.fixed_dictionaries(
    {},
    optional={
        "fuel_tanks": st.integers(0, 2),
        "fuel_litres": st.integers(0, 90),
        "gas_cylinders": st.integers(0, 3),
        "gas_kg": st.integers(0, 12),
        "late_minutes": st.integers(0, 200),
        "toilet": st.booleans(),
        "kits": st.just(["first_aid"]),
        "distance_km": st.integers(0, 500),
    },
)
extras = st.builds(
    lambda name, limit, tiers: extra(name, limits=limit, cleaning_up_to=tiers),
    st.sampled_from(["a", "b", "c"]),
    limits,
    st.dictionaries(st.just("interior"), st.sampled_from(list(TIERS))),
)
waivers = st.builds(
    lambda code, percent: {"code": code, "percent": percent, "reason": "weather", "approver": "depot manager"},
    st.sampled_from(["FUEL", "DAMAGE", "CLEANING", "LATE"]),
    st.integers(0, 100),
)
returns = st.integers(0, 59).map(lambda hours: {"returned_at": f"2026-05-{10 + hours // 24}T{hours % 24:02}:10"})


@st.composite
def cases(draw: st.DrawFn) -> dict[str, Any]:
    return document(
        rules=deepcopy(RULES),
        legs=draw(st.lists(legs, min_size=1, max_size=2)),
        rental=draw(returns),
        events=draw(events),
        prepaid=draw(st.lists(extras, max_size=3)),
        cleaning={"interior": draw(st.sampled_from(["none", *TIERS]))},
        waste={"grey_pct": draw(st.integers(0, 100)), "toilet_pct": draw(st.integers(0, 100))},
        kits=[{"kit": "first_aid", "seal_intact": draw(st.booleans())}],
        waivers=draw(st.lists(waivers, max_size=3)),
        tax={"mode": draw(st.sampled_from(["inclusive", "exclusive"]))},
    )


def priced(case: dict[str, Any]) -> Priced:
    return price(parse(case))


def total(case: dict[str, Any]) -> Decimal:
    return priced(case).totals.total


def changed(case: dict[str, Any], **parts: Any) -> dict[str, Any]:
    return {**case, **parts}


@given(cases())
def test_only_credits_are_below_zero(case: dict[str, Any]) -> None:
    assert all(line.amount >= 0 for line in priced(case).lines if line.code not in CREDITS)


@given(cases())
def test_cover_is_never_above_the_full_price(case: dict[str, Any]) -> None:
    assert all(0 <= line.covered <= max(line.raw, Decimal(0)) for line in priced(case).lines)


@given(cases())
def test_lines_sum_to_the_total(case: dict[str, Any]) -> None:
    statement = priced(case)
    totals = statement.totals
    assert sum(line.amount for line in statement.lines) == totals.lines_sum
    added = totals.tax if case["tax"]["mode"] == "exclusive" else 0
    assert totals.total == totals.lines_sum + added


@given(cases())
def test_the_money_all_goes_somewhere(case: dict[str, Any]) -> None:
    totals = priced(case).totals
    assert (totals.deposit_captured or 0) + totals.balance_due - totals.refund_due == totals.total


@given(cases())
def test_pricing_again_gives_the_same_bytes(case: dict[str, Any]) -> None:
    assert priced(case).as_bytes() == priced(deepcopy(case)).as_bytes()


@given(cases())
def test_waivers_leave_no_line_below_zero(case: dict[str, Any]) -> None:
    left: dict[tuple[str, str], Decimal] = {}
    told = {waiver["code"] for waiver in case["waivers"]}
    for line in priced(case).lines:
        if line.code in told or line.code == "WAIVER":
            left[("", "")] = left.get(("", ""), Decimal(0)) + line.amount
    assert all(amount >= 0 for amount in left.values())


@given(st.integers(0, 8), st.integers(0, 7), st.sampled_from(["threshold", "deductible", "instrument"]))
def test_more_short_is_never_cheaper(out: int, back: int, mode: str) -> None:
    fuel = {**RULES["fuel"], "tolerance_mode": mode, "tolerance_steps": 1}
    more, less = (document(rules={"fuel": fuel}, legs=[fuel_leg(out, at)]) for at in (back, back + 1))
    assert total(more) >= total(less)


@given(weight, st.integers(55, 164))
def test_more_gas_used_is_never_cheaper(out: str, back: int) -> None:
    def used(tenths: int) -> Decimal:
        gross = f"{tenths // 10}.{tenths % 10}"
        return total(document(rules={"gas": GAS_RATE}, legs=[{"unit": "U1", "gas": [cylinder(out, gross)]}]))

    assert used(back) >= used(back + 1)


@given(st.integers(0, 4000))
def test_later_is_never_cheaper(minutes: int) -> None:
    def late(count: int) -> Decimal:
        day, rest = divmod(600 + count, 1440)
        back = f"2026-05-{10 + day}T{rest // 60:02}:{rest % 60:02}"
        return total(document(rules={"late": LATE}, rental={"returned_at": back}))

    assert late(minutes) <= late(minutes + 1)


@given(cases(), money, money)
def test_a_larger_excess_never_lowers_what_is_paid(case: dict[str, Any], one: str, other: str) -> None:
    def with_excess(excess: str) -> Decimal:
        return total(changed(case, rules={**case["rules"], "damage": {"excess": excess}}))

    low, high = sorted((one, other), key=Decimal)
    assert with_excess(low) <= with_excess(high)


@given(cases(), extras)
def test_an_extra_never_raises_what_is_paid(case: dict[str, Any], more: dict[str, Any]) -> None:
    bare = changed(case, waivers=[])
    assert total(changed(bare, prepaid=[*case["prepaid"], more])) <= total(bare)


@given(cases())
@settings(max_examples=40)
def test_the_order_of_events_does_not_matter(case: dict[str, Any]) -> None:
    sums = {total(changed(case, events=list(order))) for order in permutations(case["events"])}
    assert len(sums) == 1


@given(st.lists(st.integers(1, 200_000), min_size=1, max_size=6), st.integers(0, 100))
def test_shares_add_up_exactly(cents: list[int], percent: int) -> None:
    amounts = [Decimal(cent) / 100 for cent in cents]
    payable = (sum(amounts, Decimal(0)) * percent / 100).quantize(Decimal("0.01"))
    for shares in (pro_rata(amounts, payable, 2), in_order(amounts, payable)):
        assert sum(shares) == payable
        assert all(0 <= share <= amount for share, amount in zip(shares, amounts, strict=True))


@given(cases())
def test_tax_by_line_and_by_group_differ_by_less_than_half_a_cent_a_line(case: dict[str, Any]) -> None:
    by_line, by_group = (
        priced(changed(case, tax={**case["tax"], "rounding": way})) for way in ("per_line", "per_group")
    )
    lines = len(by_line.lines)
    assert abs(by_line.totals.tax - by_group.totals.tax) <= Decimal("0.005") * (lines + 1)
