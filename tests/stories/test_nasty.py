"""What seldom happens and must not break anything. Where a fact of the trade is checked: common practice, no source."""

from collections.abc import Callable
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import pytest

from fleet.models import Unit
from handover.dispute.models import Decision, Dispute
from handover.paper.models import PaperSheet
from handover.record.document import content_from
from handover.record.models import Record
from handover.record.writing import record_document
from handover.rental.models import Rental
from handover.settlement.models import Movement
from handover.trip.models import Notice
from handover.walkround.models import Mark, WalkRound
from shared.access.models import Person
from shared.ledger.verifying import verify_all
from tests.factories import PASSWORD, CustomerFactory, RentalFactory, UnitFactory
from tests.playing import item
from tests.stories.conftest import It
from tests.stories.steps import (
    CAME_BACK,
    DOOR,
    LEFT,
    at,
    begins_pickup,
    begins_return,
    browser_of,
    comes_back,
    does,
    draws_up,
    explains_topics,
    goes,
    hands_over,
    inputs,
    latest,
    lines,
    page_of,
    quotes,
    reads,
    sees,
    signs,
    takes_back,
    tries,
    wall,
)

pytestmark = pytest.mark.django_db


def test_over_a_leap_day(rates: None, isla: Person, callum: Person, it_is: It) -> None:
    """From 28 February to 1 March 2028 are two days, and on time is not late."""
    it_is("28 Feb 2028 10:00")
    rental = RentalFactory(planned_out_at=at("28 Feb 2028 10:00"), planned_back_at=at("1 Mar 2028 10:00"))
    goes(isla, rental)
    it_is("29 Feb 2028 12:00")
    does(isla, "trip-fault", rental.pk, reported_at=wall("29 Feb 2028 11:30"), system="Fridge", symptom="Warm",
         drivable="yes")  # fmt: skip
    it_is("1 Mar 2028 10:00")
    comes_back(callum, rental)
    assert lines(draws_up(callum, rental)) == {}


def test_back_before_it_left_by_the_clock_on_the_wall(
    rates: None, isla: Person, callum: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Left at 01:50 before the clocks went back, returned at 01:10 after it: twenty minutes on the road."""
    from django.utils import timezone

    left, back = datetime(2026, 10, 25, 0, 50, tzinfo=UTC), datetime(2026, 10, 25, 1, 10, tzinfo=UTC)
    monkeypatch.setattr(timezone, "now", lambda: left)
    rental = RentalFactory(planned_out_at=left, planned_back_at=datetime(2026, 10, 26, 10, tzinfo=UTC))
    goes(isla, rental)
    monkeypatch.setattr(timezone, "now", lambda: back)
    walk = begins_return(callum, rental, arrived_at="2026-10-25T01:59")
    reads(callum, walk, **CAME_BACK)
    takes_back(callum, walk)
    leg = rental.legs.get()
    assert leg.started_at == left
    assert leg.ended_at >= left
    assert not [line for line in lines(draws_up(callum, rental)) if line.startswith("LATE")]


def test_a_hold_that_lapsed_after_31_days(rental: Rental, isla: Person, callum: Person, it_is: It) -> None:
    """Settled on the day after: nothing is captured of it, and the balance is asked for another way."""
    does(isla, "settlement-hold", rental.pk, method="card", amount="500.00", expires_on="2026-09-14",
         reference="AUTH 4417")  # fmt: skip
    goes(isla, rental)
    it_is("18 Aug 2026 10:30")
    comes_back(callum, rental, diesel="47.5")
    draws_up(callum, rental)
    it_is("15 Sep 2026 09:00")
    signs(callum, rental)
    refused = tries(callum, "capture-hold", Movement.objects.get().pk, method="card", amount="51.03", reference="C 1")
    assert refused.status_code == 422
    assert "This hold lapsed on 14 Sept 2026. Have the balance paid instead." in page_of(refused)
    does(callum, "settlement-pay", rental.pk, method="cash", amount="51.03", reference="Till 9")


def test_another_plate_while_it_is_out(rental: Rental, isla: Person, callum: Person, it_is: It) -> None:
    """A fine under the plate it left with, and one under the new plate, both find the rental."""
    goes(isla, rental)
    it_is("16 Aug 2026 12:00")
    Unit.objects.filter(number="407").update(plate="NEW 777")
    it_is("1 Sep 2026 12:00")
    for plate, day in (("lrk-407", "15"), ("NEW777", "17")):
        fine = {"kind": "fine", "ref": f"PCN {day}", "authority": "Glen Council", "plate": plate,
                "at": f"2026-08-{day}T14:00", "zone": "Europe/London", "amount": "60.00",
                "handling": "paid_by_operator", "received_on": "2026-08-30", "operator_caused": "no"}  # fmt: skip
        does(callum, "notice", "inverlark", **fine)
    assert set(Notice.objects.values_list("rental", "plate")) == {(rental.pk, "lrk-407"), (rental.pk, "NEW 777")}


def test_one_hirer_with_two_units(rates: None, isla: Person, callum: Person, ruth: Person, it_is: It) -> None:
    """Each rental has its own statement; what one owes is not on the other, and their data are one person's."""
    maren = CustomerFactory()
    both = [RentalFactory(customer=maren, leg=UnitFactory(number=number)) for number in ("407", "408")]
    for rental in both:
        goes(isla, rental)
    it_is("18 Aug 2026 10:30")
    for rental, level in zip(both, ("47.5", "82"), strict=True):
        comes_back(callum, rental, diesel=level)
    assert [list(lines(draws_up(callum, rental))) for rental in both] == [["FUEL 407"], []]
    copy = sees(ruth, "person-data", maren.pk)
    assert all(rental.number in copy for rental in both)


def test_a_couple_splits_the_bill(rental: Rental, isla: Person, callum: Person, it_is: It) -> None:
    """51.03 in two parts, card and cash; not a penny more."""
    Rental.objects.update(deposit_held=0)
    goes(isla, rental)
    it_is("18 Aug 2026 10:30")
    comes_back(callum, rental, diesel="47.5")
    draws_up(callum, rental)
    signs(callum, rental)
    does(callum, "settlement-pay", rental.pk, method="card", amount="25.52", reference="C 1")
    assert tries(callum, "settlement-pay", rental.pk, method="cash", amount="25.52", reference="T 1").status_code == 422
    does(callum, "settlement-pay", rental.pk, method="cash", amount="25.51", reference="T 1")


def test_nothing_to_pay_is_settled_all_the_same(rental: Rental, isla: Person, callum: Person, it_is: It) -> None:
    """A total of 0.00 is signed, settled, and has its Record."""
    goes(isla, rental)
    it_is("18 Aug 2026 10:30")
    comes_back(callum, rental)
    draws_up(callum, rental)
    assert "£500.00 goes back to you." in sees(callum, "statement", rental.pk)
    assert signs(callum, rental).total == 0
    record = Record.objects.get(rental=rental, kind="return")
    assert content_from(record_document(record)[0]).statement is not None


def test_more_goes_back_than_the_deposit(rental: Rental, isla: Person, callum: Person, ruth: Person, it_is: It) -> None:
    """A service failure of 600.00 with a deposit of 500.00: all of the deposit and 600.00 more go back."""
    goes(isla, rental)
    it_is("18 Aug 2026 10:30")
    comes_back(callum, rental)
    row = draws_up(callum, rental)
    does(ruth, "give-credit", row.pk, kind="SERVICE_FAILURE", amount="600.00", words="No heating for four nights.",
         second_name="callum", second_password=PASSWORD)  # fmt: skip
    row = latest(rental)
    assert row.total == Decimal("-600.000")
    assert "£1 100.00 goes back to you." in sees(callum, "statement", rental.pk)
    signs(callum, rental)
    assert rental.state == "settled"


def test_a_name_without_a_surname(rates: None, isla: Person, callum: Person, it_is: It) -> None:
    """Teyra has one name: on every page, under every signature, in the Record."""
    rental = RentalFactory(customer=CustomerFactory(name="Teyra"))
    goes(isla, rental)
    it_is("18 Aug 2026 10:30")
    comes_back(callum, rental)
    draws_up(callum, rental)
    signs(callum, rental)
    record = Record.objects.get(rental=rental, kind="return")
    assert content_from(record_document(record)[0]).rental.customer == "Teyra"
    assert "Teyra" in sees(isla, "rental", rental.pk)


def test_25_damages_on_one_panel(
    rental: Rental, isla: Person, callum: Person, it_is: It, django_assert_max_num_queries: Callable[..., Any]
) -> None:
    """Twenty-five scratches on one door are one event with one excess, each with its line, shared to the cent."""
    goes(isla, rental)
    it_is("18 Aug 2026 10:30")
    marks = [DOOR | {"size_mm": str(40 + place), "y_mm": str(2500 + place)} for place in range(25)]
    comes_back(callum, rental, *marks)
    for mark in Mark.objects.all():
        quotes(callum, rental, mark, "77.77")
    charged = lines(draws_up(callum, rental))
    damages = [Decimal(amount) for name, amount in charged.items() if name.startswith("DAMAGE")]
    assert (len(damages), sum(damages)) == (25, Decimal("1000.00"))
    assert charged["ADMIN E1"] == "40.00"
    browser = browser_of(callum)
    with django_assert_max_num_queries(15):
        assert browser.get(f"/rental/{rental.pk}/damages/").status_code == 200


def test_a_chair_too_many_comes_back(rental: Rental, isla: Person, callum: Person, it_is: It) -> None:
    """Two straps went out and three come back: it is kept as counted, and nobody pays for it."""
    walk = _gone_with_two(rental, isla)
    ask = item(walk, "straps").id
    it_is("18 Aug 2026 10:30")
    back = begins_return(callum, rental)
    reads(callum, back, **CAME_BACK)
    does(callum, "count", back.pk, 2, ask, present="3")
    takes_back(callum, back)
    assert lines(draws_up(callum, rental)) == {}
    assert back.counts.get().present == 3


def _gone_with_two(rental: Rental, host: Person) -> WalkRound:
    walk = begins_pickup(host, rental)
    reads(host, walk, **LEFT)
    does(host, "count", walk.pk, 2, item(walk, "straps").id, present="2")
    explains_topics(host, walk)
    hands_over(host, walk)
    return walk


def test_the_unit_is_sold_while_a_dispute_is_open(
    rental: Rental, isla: Person, callum: Person, ruth: Person, it_is: It
) -> None:
    """Its evidence stays, and the dispute is decided as any other."""
    goes(isla, rental)
    it_is("18 Aug 2026 10:30")
    comes_back(callum, rental, DOOR)
    quotes(callum, rental, Mark.objects.get(), "400.00")
    row = draws_up(callum, rental)
    signs(callum, rental)
    does(callum, "open-dispute", row.pk, 1, words="It was there when we took it.")
    unit = rental.legs.get().unit
    unit.retired = True
    unit.save()
    dispute = Dispute.objects.get()
    assert "407" in sees(ruth, "dispute", dispute.pk)
    does(
        ruth,
        "decide-dispute",
        dispute.pk,
        outcome="reduced",
        left="40.00",
        reason="unclear_baseline",
        words="The photo is not clear.",
    )
    assert Decision.objects.get().dispute == dispute
    assert list(verify_all()) == []


def test_a_kit_used_for_a_strangers_car(rental: Rental, isla: Person, callum: Person, it_is: It) -> None:
    """Opened at somebody else's accident: with the report it is free, without one it is charged."""
    goes(isla, rental)
    it_is("18 Aug 2026 10:30")
    walk = begins_return(callum, rental)
    reads(callum, walk, **CAME_BACK)
    does(callum, "check-seal", walk.pk, 2, item(walk, "first_aid").id, state="broken", seal_number="93412")
    takes_back(callum, walk)
    assert lines(draws_up(callum, rental)) == {"SAFETY_KIT first_aid": "42.00"}
    does(
        callum,
        "found-kit",
        rental.pk,
        kit="first_aid",
        report="fire",
        words="Fire report 118, a stranger's car.",
    )
    assert lines(latest(rental)) == {}
    assert "kits" in inputs(latest(rental))


def test_found_after_all_on_a_sheet_said_to_be_unused(rental: Rental, isla: Person, ruth: Person, it_is: It) -> None:
    """Of one number one thing came: a sheet that was given up is not keyed in any more."""
    layout = rental.legs.get().unit.layout
    does(isla, "print-paper", "inverlark", layout=layout.pk, many="1")
    sheet = PaperSheet.objects.get()
    it_is("14 Aug 2026 12:00")
    does(ruth, "lose-paper", sheet.pk, words="Torn in the printer.")
    again = tries(ruth, "lose-paper", sheet.pk, words="Torn once more.")
    assert again.status_code == 422
    assert "It was said already what became of sheet 1." in page_of(again)
