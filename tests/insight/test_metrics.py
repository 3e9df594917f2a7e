"""The figures of one settled rental, worked out by hand, and the rentals behind each."""

from datetime import timedelta
from decimal import Decimal

import pytest

from consumables.models import Fill
from handover.counter.actions.waiving import Reduction, waive
from handover.dispute.actions import Verdict, decide
from handover.dispute.models import Dispute
from handover.insight.asking import Asked
from handover.insight.metrics import charges, damage, deposits, disputes, handovers, readings, things, times, waivers
from handover.insight.registry import TABLES
from handover.insight.table import Cell, Money, Row, Table
from handover.rental.models import Rental
from handover.settlement.models import Movement
from handover.statement.actions import draw_up
from handover.statement.models import Statement
from handover.walkround.models import WalkRound
from shared.access.models import Person
from tests.dispute.conftest import contest, the_door
from tests.factories import BACK_AT, NINE, RentalFactory, an_act

D = Decimal


def gbp(amount: str) -> Money:
    return Money(D(amount), "GBP")


def cells(table: Table) -> list[tuple[Cell, ...]]:
    return [row.cells for row in table.rows]


def behind(table: Table, row: Row) -> set[object]:
    assert table.drill is not None
    return set(table.drill(row.key))


def test_handover_minutes(settled: Statement, august: Asked) -> None:
    walk = WalkRound.objects.filter(kind="pickup")
    walk.update(finished_at=NINE + timedelta(minutes=24, seconds=50))
    table = handovers.pickup_minutes(august)
    assert cells(table) == [("Isla Macrae", 1, 24, 24)]
    assert table.rests_words == "1 walk-round"
    assert behind(table, table.rows[0]) == {settled.rental_id}


def test_baseline_that_lacks_nothing(settled: Statement, august: Asked) -> None:
    assert cells(handovers.baseline_completeness(august)) == [("Inverlark", 1, D(100), D(100), D(100))]


def test_baseline_with_a_reading_taken_back(settled: Statement, isla: Person, august: Asked) -> None:
    """The latest answer counts: read and then not read is a gap."""
    walk = WalkRound.objects.get(kind="pickup")
    reading = walk.readings.filter(item__code="diesel").get()
    walk.readings.create(item=reading.item, state="not_read", at=reading.at + timedelta(minutes=1), by=isla)
    table = handovers.baseline_completeness(august)
    assert cells(table) == [("Inverlark", 1, D(0), D(100), D(0))]
    assert behind(table, table.rows[0]) == {settled.rental_id}


def test_baseline_without_its_photo(settled: Statement, august: Asked) -> None:
    WalkRound.objects.get(kind="pickup").photos.update(subject=None)
    assert cells(handovers.baseline_completeness(august)) == [("Inverlark", 1, D(100), D(0), D(0))]


def test_seconds_a_safety_topic(settled: Statement, august: Asked) -> None:
    """Gas valves is safety-critical, Vents is not."""
    assert cells(handovers.topic_seconds(august)) == [("Isla Macrae", 1, 20, 20)]


def test_topics_skipped(settled: Statement, august: Asked) -> None:
    assert cells(handovers.topics_skipped(august)) == [("Isla Macrae", 1, 2, 0, D(0))]
    WalkRound.objects.get(kind="pickup").topicheards.filter(item__code="ventilation").delete()
    assert cells(handovers.topics_skipped(august)) == [("Isla Macrae", 1, 2, 1, D(50))]


def test_signatures_refused(settled: Statement, august: Asked) -> None:
    settled.rental.signatures.filter(walk__kind="pickup", role="customer").update(outcome="refused", reason="Rain")
    assert cells(handovers.refusals(august))[0] == ("Pickup", 1, 1, 0, D(100))


def test_recovery_by_kind_of_line(settled: Statement, august: Asked) -> None:
    """Fuel 51.03 of which 32.40 is prepaid; a door for 400.00 and 40.00 for handling; gas, kit, late: 561.67 due."""
    table = charges.kept_of_charges(august)
    rows = {row[0]: row for row in cells(table)}
    assert rows["Fuel"] == ("Fuel", 1, gbp("51.03"), gbp("32.40"), gbp("18.63"), D("36.5"))
    assert rows["Damage"][4] == gbp("400.00")
    kept = settled.total
    assert rows["Together, GBP"][2:5] == (Money(kept + D("32.40"), "GBP"), gbp("32.40"), Money(kept, "GBP"))
    fuel = next(row for row in table.rows if row.cells[0] == "Fuel")
    assert behind(table, fuel) == {settled.rental_id}


def test_a_chargeback_that_is_accepted_is_lost(settled: Statement, ruth: Person, august: Asked) -> None:
    """What the branch had of the payment; a contested one is not lost."""
    said = {"rental": settled.rental, "currency": "GBP", "method": "card", "at": NINE, "by": ruth}
    Movement.objects.create(kind="paid", amount=D(100), statement=settled, **said)
    claimed = Dispute.objects.create(
        rental=settled.rental, statement=settled, number=1, kind="chargeback", title="Payment", words="Not me.",
        by_customer=True, answer_by=BACK_AT.date(), claimed=D(150), at=BACK_AT,
    )  # fmt: skip
    decide(claimed, Verdict("withdrawn", "We accept it."), act=an_act(ruth, at=BACK_AT + timedelta(days=5)))
    rows = {row[0]: row for row in cells(charges.kept_of_charges(august))}
    assert rows["Lost to chargebacks"][4] == gbp("-100")
    assert cells(disputes.chargebacks(august))[0][:4] == ("GBP", 1, D(100), gbp("150"))


def test_not_charged_by_reason(settled: Statement, august: Asked) -> None:
    rows = {row[0]: row for row in cells(charges.uncharged_by_reason(august))}
    assert rows["Extras paid"] == ("Extras paid", 1, gbp("32.40"))


def test_a_prepaid_extra_and_its_margin(settled: Statement, august: Asked) -> None:
    """Sold for 29.00, it paid 20 L at 1.62."""
    assert cells(charges.prepaid_margin(august)) == [
        ("20 L", 1, D(100), gbp("29.00"), gbp("32.40"), gbp("-3.40"), 1),
    ]


@pytest.fixture
def waived(back: Rental, isla: Person, callum: Person) -> Statement:
    """Half of the kit's 42.00, before it is drawn up a second time."""
    draw_up(back, act=an_act(callum, at=BACK_AT + timedelta(hours=3)))
    half = Reduction("photo_missing", "No photo of the seal.", percent=D(50))
    waive(back, code="SAFETY_KIT", ref="first_aid", reduction=half, act=an_act(isla, at=BACK_AT + timedelta(hours=4)))
    return draw_up(back, act=an_act(callum, at=BACK_AT + timedelta(hours=5)))


def test_waivers_with_what_they_came_to(waived: Statement, august: Asked) -> None:
    (row,) = cells(waivers.waivers_by_reason(august))
    assert row == ("Photo missing", 1, gbp("21.00"), D(100), gbp("2100.00"))
    assert cells(waivers.waivers_by_host(august))[0][:3] == ("Isla Macrae", 1, gbp("21.00"))
    assert cells(waivers.waivers_by_approver(august))[0][0] == "nobody: within the limit"


def test_half_a_penny_for_each_hundred_rentals_goes_up(waived: Statement, august: Asked) -> None:
    """21.00 among 32 rentals is 65.625 per 100."""
    for number in range(31):
        RentalFactory(number=f"LK-{number + 1}", state="out")
    assert cells(waivers.waivers_by_reason(august))[0][4] == gbp("65.63")


def test_disputes_and_how_they_end(settled: Statement, ruth: Person, august: Asked) -> None:
    dispute = contest(the_door(settled))
    assert cells(disputes.disputes_by_line(august))[0][:5] == ("Damage", 1, D(100), 1, 0)
    decide(dispute, Verdict("upheld", "The photo shows it."), act=an_act(ruth, at=dispute.at + timedelta(days=3)))
    assert cells(disputes.disputes_by_line(august))[0][4:6] == (1, D(100))
    assert cells(disputes.days_to_decision(august)) == [("A line of a statement", 1, D(3), D(3), 0, D(100))]


def test_a_late_decision(settled: Statement, ruth: Person, august: Asked) -> None:
    dispute = contest(the_door(settled))
    late = dispute.at + timedelta(days=20)
    decide(dispute, Verdict("upheld", "The photo shows it."), act=an_act(ruth, at=late))
    assert cells(disputes.days_to_decision(august))[0][4:] == (1, D(0))


def test_damage_for_days_and_distance(settled: Statement, august: Asked) -> None:
    """Out from 14 August 09:00 to 18 August 12:47; 41206 to 42018 on a clock of the branch's unit, kilometres."""
    (row,) = cells(damage.damage_by_part(august))
    assert row[:2] == ("Door", 1)
    assert row[4] == D(812)
    assert row[5] == D("12.3")
    assert cells(damage.damage_by_host(august))[0][0] == "Isla Macrae"
    assert cells(damage.damage_by_layout(august))[0][0] == "Skerry"


def test_where_damage_is_found(settled: Statement, august: Asked) -> None:
    assert [row[1] for row in cells(damage.where_found(august))] == [1, 0, 0, 0]
    walk = WalkRound.objects.get(kind="return")
    walk.marks_found.update(found_at=walk.finished_at + timedelta(hours=1))  # type: ignore[operator]
    assert [row[1] for row in cells(damage.where_found(august))] == [0, 1, 0, 0]


def test_late_returns(settled: Statement, august: Asked) -> None:
    assert cells(times.late_returns(august))[0][:6] == ("Inverlark", 1, 1, D(100), 107, 107)


def test_kits_used(settled: Statement, august: Asked) -> None:
    assert cells(things.kits_used(august)) == [("First aid kit", 1, 1, 0, D(100))]


def test_things_missing_and_surplus(settled: Statement, isla: Person, august: Asked) -> None:
    for kind, present in (("pickup", 2), ("return", 1)):
        walk = WalkRound.objects.get(kind=kind)
        straps = walk.leg.unit.layout.stations.get(number=2).equipments.get()
        walk.counts.create(item=straps, present=present, at=NINE, by=isla)
    assert cells(things.missing_items(august)) == [("Straps", 1, 1)]
    assert cells(things.surplus_items(august)) == []
    assert things.surplus_items(august).rests_on == 1


def test_days_until_a_deposit_is_released(settled: Statement, callum: Person, august: Asked) -> None:
    ended = settled.rental.legs.get().ended_at
    assert ended is not None
    said = {"rental": settled.rental, "currency": "GBP", "method": "card", "by": callum, "amount": D(200)}
    held = Movement.objects.create(kind="held", at=NINE, expires_on=BACK_AT.date(), **said)
    assert cells(deposits.expired_holds(august)) == [("GBP", 1, gbp("200"))]
    Movement.objects.create(kind="released", at=ended + timedelta(days=6), hold=held, **said)
    assert cells(deposits.release_days(august)) == [("Inverlark", 1, D(6), D(6))]
    assert cells(deposits.expired_holds(august)) == []


def test_gauge_against_pump(settled: Statement, isla: Person, august: Asked) -> None:
    """From empty to full is 90 L by the gauge; 84 and 88 L were pumped: off by 6 and 2."""
    gauge = {"unit": settled.rental.legs.get().unit, "at": BACK_AT, "by": isla, "before": 0, "after": 1}
    instrument = WalkRound.objects.filter(kind="pickup").get().readings.get(item__code="diesel").item
    for litres in (84, 88):
        Fill.objects.create(instrument=instrument, litres=litres, **gauge)
    assert cells(readings.gauge_against_pump(august)) == [("407", "Diesel", 2, D("4.0"), D("2.8"))]


def test_nothing_is_of_another_period(settled: Statement, september: Asked) -> None:
    """Every table stands without its rentals, and says that it rests on nothing."""
    for name, build in TABLES.items():
        table = build(september)
        if name not in {"numbering-gaps", "deposits-to-explain"}:
            assert table.rests_on == 0, name
