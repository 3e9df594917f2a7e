"""Returns: who does not wait, who drops the keys, units swapped in the night, damages of one, two and grown marks."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.core import mail

from fleet.models import Unit
from handover.customer.models import LinkDelivery
from handover.record.models import Record
from handover.record.writing import record_document
from handover.rental.models import Rental
from handover.statement.models import Signature
from handover.trip.models import Notice
from handover.walkround.models import Mark
from shared.access.models import Person
from shared.clock import elapsed
from shared.ledger.verifying import verify_all
from tests.factories import RentalFactory
from tests.playing import item
from tests.stories.conftest import It
from tests.stories.steps import (
    CAME_BACK,
    DOOR,
    DRAWN,
    REAR,
    at,
    begins_return,
    comes_back,
    does,
    draws_up,
    explains_topics,
    finds,
    goes,
    hands_over,
    inputs,
    latest,
    left_door,
    lines,
    page_of,
    photographs,
    quotes,
    reads,
    sees,
    signs,
    takes_back,
    tries,
    walk_of,
    wall,
)

pytestmark = pytest.mark.django_db


def test_customer_in_the_rain_will_not_wait(
    rental: Rental, isla: Person, callum: Person, it_is: It, after_commit: Callable[[], Any]
) -> None:
    """She hands in the keys and leaves after the outside, before anybody looked inside.

    The settlement is provisional, unsigned with its reason; she is told in writing; what was found without her says so.
    """
    # Given a return that she began with Callum: they read the fuel together
    goes(isla, rental)
    it_is("18 Aug 2026 10:50")
    walk = begins_return(callum, rental)
    reads(callum, walk, diesel="47.5", odometer="66700 km")

    # When she leaves in the rain, and the gas locker is looked at without her
    it_is("18 Aug 2026 11:00")
    assert tries(callum, "customer-left", walk.pk, words=" ").status_code == 422
    does(callum, "customer-left", walk.pk, words="It pours, and the bus goes.")
    it_is("18 Aug 2026 11:20")
    reads(callum, walk, gas_front="9.1")
    takes_back(callum, walk)
    draws_up(callum, rental)

    # Then only what was found later carries that she was not present
    page = sees(callum, "statement", rental.pk)
    fuel, gas = page.index("<b>Diesel"), page.index("<b>Gas")
    assert page.count("; customer not present") == 1
    assert gas < page.index("; customer not present")
    assert fuel < gas
    # And nobody signs for her: the reason stands there, and she has a fortnight
    with after_commit():
        signs(callum, rental, "staff")
    unsigned = Signature.objects.get(role="customer", statement=latest(rental))
    assert (unsigned.outcome, unsigned.reason) == (
        "absent", "Left before the end, 18 Aug 2026, 11:00: It pours, and the bus goes.",
    )  # fmt: skip
    assert str(latest(rental).objection_until) == "2026-09-01"
    # And the Record says of the same line that it was found without her
    said = record_document(Record.objects.get(rental=rental, kind="return"))[0]["statement"]["lines"]
    assert [line["code"] for line in said if line["found_alone"]] == ["GAS"]
    # And she is told in writing that it is provisional, with the way to her statement
    assert LinkDelivery.objects.get().state == "sent"
    letter = mail.outbox[0]
    assert letter.to == [rental.customer.email]
    assert "The Statement is provisional: until 1 Sept 2026 you can object to any line of it." in letter.body
    address = next(word for word in letter.body.split() if "/c/" in word)
    from django.test import Client

    assert "you were not present" in page_of(Client().get(f"/c/{address.split('/c/')[1]}statement/"))


def test_key_drop_and_the_unit_washed(
    rental: Rental, isla: Person, callum: Person, ruth: Person, it_is: It, shots: tuple[bytes, bytes]
) -> None:
    """Keys dropped on Sunday; the crew washes the unit on Monday before anybody took a photo; a dent is found.

    The damage line warns of it, and who leads the shift decides before the customer is charged.
    """
    # Given keys that lay in the box on Sunday evening, and a unit that was washed before it was looked at
    goes(isla, rental)
    it_is("17 Aug 2026 08:30")
    walk = begins_return(
        callum, rental, mode="key_drop", arrived_at=wall("16 Aug 2026 19:00"), keys_found_by="Callum Reid",
        keys_found_at=wall("17 Aug 2026 08:05"), moved_first="on",
    )  # fmt: skip
    reads(callum, walk, **CAME_BACK)
    mark = finds(callum, walk, kind="dent", part="panel", place="left side", size_mm="90", x_mm="-1025", y_mm="3900")
    photographs(callum, walk, shots[0], of=mark.pk)
    takes_back(callum, walk)
    quotes(callum, rental, mark, "300.00")

    # Then the line warns, and neither the crew nor a signature gets it charged
    draws_up(callum, rental)
    warning = "No photo before it was moved: a manager decides before it is charged."
    assert warning in sees(callum, "statement", rental.pk)
    row = latest(rental)
    refused = tries(callum, "sign-statement", row.pk, role="staff", name="", strokes=DRAWN, seen_sha256=row.digest)
    assert refused.status_code == 422
    assert "Mark 1, left side: no photo before it was moved." in page_of(refused)
    assert Rental.objects.get(pk=rental.pk).state == "back"
    decision = {"mark": mark.pk, "outcome": "charged", "words": "The camera at the gate shows it come in so."}
    assert tries(callum, "decide-moved", rental.pk, **decision).status_code == 403
    assert tries(ruth, "decide-moved", rental.pk, **(decision | {"words": ""})).status_code == 422

    # When Ruth decides, either way
    does(ruth, "decide-moved", rental.pk, **(decision | {"outcome": "dropped", "words": "Nobody saw it stand."}))
    assert lines(latest(rental)) == {}
    assert "Not charged: no photo before it was moved." in sees(callum, "statement", rental.pk)
    does(ruth, "decide-moved", rental.pk, **decision)

    # Then it is charged with her reason beside it, and can be settled
    assert lines(latest(rental))["DAMAGE Mark 1, left side"] == "300.00"
    assert "The camera at the gate shows it come in so." in sees(callum, "damages", rental.pk)
    signs(callum, rental, "staff")
    assert rental.state == "settled"


def test_swapped_in_the_night_the_clocks_go_back(
    rates: None, isla: Person, callum: Person, unit_118: Unit, it_is: It, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Abroad, where 02:30 comes twice: 407 is given up at the first, 118 is handed over at the second.

    On the clocks of the branch both are 01:30. Legs, tanks and times are right, and a fine for 03:10 goes to 118.
    """
    from django.utils import timezone

    # Given a rental of 407, and the night of 25 October
    it_is("23 Oct 2026 09:00")
    rental = RentalFactory(planned_out_at=at("23 Oct 2026 10:00"), planned_back_at=at("26 Oct 2026 10:00"))
    goes(isla, rental)
    first, second = datetime(2026, 10, 25, 0, 30, tzinfo=UTC), datetime(2026, 10, 25, 1, 30, tzinfo=UTC)

    # When 407 is towed at the first half past one, which has to be said, and 118 is signed for at the second
    monkeypatch.setattr(timezone, "now", lambda: first + timedelta(minutes=10))
    swap = {"unit": unit_118.pk, "at": "2026-10-25T01:30", "cause": "operator", "reason": "Fuel pump",
            "place": "Glen Ure", "mode": "absent"}  # fmt: skip
    assert "Say whether the first" in page_of(tries(isla, "trip-swap", rental.pk, **swap))
    does(isla, "trip-swap", rental.pk, **swap, at_which="0")
    given_up = walk_of(rental, "return")
    reads(isla, given_up, diesel="60", gas_front="10.7", odometer="66600 km")
    finds(isla, given_up, **DOOR)
    takes_back(isla, given_up)
    monkeypatch.setattr(timezone, "now", lambda: second)
    does(isla, "begin-pickup", rental.pk)
    taken = walk_of(rental, "pickup")
    reads(isla, taken, diesel="90", gas_front="11.7", odometer="66290 km")
    explains_topics(isla, taken)
    hands_over(isla, taken)
    one, two = rental.legs.all()
    assert (one.ended_at, two.started_at) == (first, second)
    assert elapsed(one.ended_at, two.started_at) == timedelta(hours=1)

    # And 118 comes home in time, with a damage of its own
    it_is("26 Oct 2026 09:45")
    home = begins_return(callum, rental)
    reads(callum, home, diesel="72", gas_front="11.7", odometer="66500 km")
    finds(callum, home, **REAR)
    takes_back(callum, home)

    # Then a speeding notice for ten past three, on the clocks of where it was, finds 118 and never 407
    it_is("9 Nov 2026 12:00")
    fine = {"kind": "fine", "ref": "PV 310", "authority": "Prefecture", "at": "2026-10-25T03:10",
            "zone": "Europe/Paris", "amount": "60.00", "handling": "paid_by_operator", "received_on": "2026-11-08",
            "customer_told_on": "2026-11-09", "operator_caused": "no"}  # fmt: skip
    refused = tries(callum, "notice", "inverlark", **fine, plate="LRK 407")
    assert refused.status_code == 422
    assert "Unit 407 was in the yard" in page_of(refused)
    does(callum, "notice", "inverlark", **fine, plate="LRK 118")
    notice = Notice.objects.get()
    assert (notice.leg, notice.at) == (two, datetime(2026, 10, 25, 2, 10, tzinfo=UTC))

    # And everything is settled by leg, in time that really passed
    statement = draws_up(callum, rental)
    document = inputs(statement)
    assert document["rental"]["operator_waits"] == [
        {"from": "2026-10-25T01:30+01:00", "to": "2026-10-25T01:30+00:00", "cause": "unit swap"}
    ]
    assert [leg["fuel"]["out_l"] for leg in document["legs"]] == ["82.0", "90.0"]
    assert [(event["unit"], event["items"][0]["ref"]) for event in document["events"]] == [
        ("407", "Mark 1, left door"), ("118", "Mark 1, left rear"),
    ]  # fmt: skip
    charged = lines(statement)
    assert charged["FINE PV 310"] == "60.00"
    assert not [line for line in charged if line.startswith("LATE")]
    assert Record.objects.filter(rental=rental, kind="pickup").count() == 2


def test_second_accident_after_excess_reduction(rates: None, isla: Person, callum: Person, it_is: It) -> None:
    """An excess of 2 000.00, lowered to 500.00 on day 3: the damage of day 2 has 2 000.00, that of day 5 has 500.00."""
    # Given a rental that leaves on the 14th, with a lower excess bought on the 16th
    it_is("14 Aug 2026 09:00")
    rental = RentalFactory(excess="2000.00", planned_back_at=at("20 Aug 2026 10:00"))
    goes(isla, rental)
    it_is("16 Aug 2026 12:00")
    lower = {"excess": "500.00", "price": "45.00", "bought_at": wall("16 Aug 2026 12:00"),
             "from_at": wall("16 Aug 2026 12:00")}  # fmt: skip
    does(isla, "trip-excess", rental.pk, **lower)

    # When it comes back with a door from day 2 and a bumper from day 5, each worth 2 500.00
    it_is("20 Aug 2026 09:30")
    comes_back(callum, rental, DOOR, REAR)
    door, rear = Mark.objects.order_by("number")
    for mark in (door, rear):
        quotes(callum, rental, mark, "2500.00")
    draws_up(callum, rental)
    grouped = {f"event-{door.pk}": "1", f"event-{rear.pk}": "2", "cause-1": "gate post", "cause-2": "bollard",
               "at-1": wall("15 Aug 2026 17:00"), "at-2": wall("18 Aug 2026 08:00"),
               "reason": "Two accidents, each reported on its day."}  # fmt: skip
    does(callum, "group-damages", rental.pk, **grouped)

    # Then each has the excess of its own day
    charged = lines(latest(rental))
    assert charged["DAMAGE Mark 1, left door"] == "2000.00"
    assert charged["DAMAGE Mark 2, left rear"] == "500.00"
    # And neither can have happened before it left
    early = grouped | {"at-1": wall("13 Aug 2026 17:00")}
    assert tries(callum, "group-damages", rental.pk, **early).status_code == 422


def test_split_or_merge(rental: Rental, isla: Person, callum: Person, it_is: It) -> None:
    """Scratches on the left door and at the left rear: two events are two excesses, one is one.

    The jump is shown before it is kept, a reason is demanded, and merging comes out to the cent.
    """
    # Given both scratches, 1 200.00 and 1 100.00, which nobody has grouped yet: one side, one event
    goes(isla, rental)
    it_is("18 Aug 2026 10:30")
    comes_back(callum, rental, DOOR, REAR)
    door, rear = Mark.objects.order_by("number")
    quotes(callum, rental, door, "1200.00")
    quotes(callum, rental, rear, "1100.00")
    draws_up(callum, rental)
    one_event = lines(latest(rental))
    apart = {f"event-{door.pk}": "1", f"event-{rear.pk}": "2"}
    together = {f"event-{door.pk}": "1", f"event-{rear.pk}": "1"}

    # When the host makes two of them, then the jump is shown and nothing is kept
    shown = page_of(tries(callum, "group-damages", rental.pk, **apart, preview="1"))
    assert "As chosen here" in shown
    assert "£2 080.00" in shown
    assert "£1 040.00" in shown
    assert lines(latest(rental)) == one_event
    # And without a reason it is refused
    refused = tries(callum, "group-damages", rental.pk, **apart, reason="")
    assert refused.status_code == 422
    assert "one event more is one excess more" in page_of(refused)
    does(callum, "group-damages", rental.pk, **apart, reason="A post at noon, a bollard at night.")
    assert lines(latest(rental)) == {
        "DAMAGE Mark 1, left door": "1000.00", "DAMAGE Mark 2, left rear": "1000.00",
        "ADMIN E1": "40.00", "ADMIN E2": "40.00",
    }  # fmt: skip

    # When they are merged again, then the excess is shared and the fee is one, exactly to the cent
    does(callum, "group-damages", rental.pk, **together, reason="One post, one turn after all.")
    assert lines(latest(rental)) == {
        "DAMAGE Mark 1, left door": "521.74", "DAMAGE Mark 2, left rear": "478.26", "ADMIN E1": "40.00",
    }  # fmt: skip
    assert str(latest(rental).total) == "1040.000"


def test_pre_existing_but_grown(
    rental: Rental, isla: Person, callum: Person, it_is: It, shots: tuple[bytes, bytes]
) -> None:
    """A scratch of 30 mm at pickup is 120 mm at return on the same panel: only its growth is the customer's.

    The photo of pickup stands beside that of the return.
    """
    # Given a scratch of 30 mm that was pinned and photographed at pickup
    view = left_door(rental)
    does(isla, "begin-pickup", rental.pk)
    out = walk_of(rental, "pickup")
    mark = finds(isla, out, **(DOOR | {"size_mm": "30"}))
    photographs(isla, out, shots[0], of=mark.pk)
    reads(isla, out, diesel="82", gas_front="11.7", odometer="66300 km")
    explains_topics(isla, out)
    hands_over(isla, out)

    # When it is 120 mm at return
    it_is("18 Aug 2026 10:30")
    back = begins_return(callum, rental)
    reads(callum, back, **CAME_BACK)
    does(callum, "judge-mark", back.pk, 1, mark.pk, word="worse", size_mm="120")
    photographs(callum, back, shots[1], of=mark.pk)
    takes_back(callum, back)
    quotes(callum, rental, mark, "400.00")
    draws_up(callum, rental)

    # Then only the growth is charged, from 30 to 120 mm: three quarters of the repair
    (item_,) = inputs(latest(rental))["events"][0]["items"]
    assert (item_["known_size_mm"], item_["size_mm"]) == ("30", "120")
    assert lines(latest(rental))["DAMAGE Mark 1, left door"] == "300.00"
    # And both photos stand by the mark
    page = sees(callum, "damages", rental.pk)
    assert "120 mm now, was 30 mm" in page
    assert page.index("pickup photo") < page.index("return photo")
    assert view.name == "Left door"


def test_price_list_updated_mid_rental(
    rental: Rental, isla: Person, callum: Person, ruth: Person, it_is: It, capsys: Any
) -> None:
    """Fuel costs 1.62 in the contract and 2.40 today: 1.62 counts, a year later and after an upgrade too."""
    from django.core.management import call_command

    from tests.factories import RULES, RateCardFactory

    # Given a rental that left under card 7, and a new card since yesterday
    goes(isla, rental)
    it_is("18 Aug 2026 10:30")
    dearer = RULES | {"fuel": RULES["fuel"] | {"price_per_litre": "2.40"}}
    RateCardFactory(branch=rental.branch, number=8, valid_from=at("15 Aug 2026 00:00").date(), rules=dearer)

    # When it comes back 31.5 L short of what the gauge can tell
    comes_back(callum, rental, diesel="47.5")
    draws_up(callum, rental)

    # Then the contract's price counts: 31.5 x 1.62
    assert lines(latest(rental))["FUEL 407"] == "51.03"
    signs(callum, rental)
    # And a year later, opened again and priced by the program of then
    it_is("20 Aug 2027 10:00")
    does(ruth, "reopen-statement", latest(rental).pk, cause="correction", words="Asked about by the customer.")
    does(ruth, "draw-up-statement", rental.pk)
    assert lines(latest(rental))["FUEL 407"] == "51.03"
    call_command("reprice", "--processes", "1")
    assert capsys.readouterr().out.startswith("0 differences")
    assert list(verify_all()) == []
    assert item(walk_of(rental, "return"), "diesel").capacity == 90
