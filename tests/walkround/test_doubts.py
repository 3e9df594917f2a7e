"""What looks unlikely is asked at its row and forbids nothing; who says that it is so stays with the reading."""

import json
from decimal import Decimal

from handover.walkround.actions import take_reading
from handover.walkround.document import shown_digest
from handover.walkround.models import Reading
from shared.ledger.models import Entry
from tests.factories import BACK_AT, an_act
from tests.walkround.conftest import asked, look, press, text_of

PLACES = {"diesel": 1, "odometer": 1, "gas_front": 2}


def take(person, walk, code, typed, **said):
    where = (walk.pk, PLACES[code], asked(walk, code))
    return text_of(press(person, "take-reading", *where, typed=typed, htmx=True, **said))


def test_the_question_has_two_answers(isla, pickup):
    said = take(isla, pickup, "diesel", "0")
    assert "A gauge reads 0 with the ignition off." in said
    assert 'name="is_so" value="1"' in said
    assert f'for="input-{asked(pickup, "diesel")}">Read again' in said


def test_it_is_so_is_kept_with_who_says_it(isla, pickup):
    take(isla, pickup, "diesel", "0")
    said = take(isla, pickup, "diesel", "0", is_so="1")
    assert "It is so: Isla M., " in said
    assert 'name="is_so"' not in said
    first, second = Reading.objects.all()
    assert (first.is_so, second.is_so, second.by, second.value) == (False, True, isla, Decimal(0))


def test_the_first_answer_stays_and_is_not_told_as_a_change(isla, pickup):
    take(isla, pickup, "diesel", "0")
    said = take(isla, pickup, "diesel", "0", is_so="1")
    assert Reading.objects.count() == 2
    assert "was: 0" not in said


def test_read_again_and_found_otherwise(isla, pickup):
    take(isla, pickup, "diesel", "0")
    said = take(isla, pickup, "diesel", "82")
    assert "was: 0" in said
    assert "ignition" not in said


def test_a_reading_without_a_doubt_is_not_so(isla, pickup):
    take(isla, pickup, "diesel", "82", is_so="1")
    assert not Reading.objects.get().is_so


def test_the_ledger_says_that_it_was_asked(isla, pickup):
    take(isla, pickup, "diesel", "0", is_so="1")
    told = json.loads(Entry.objects.get(kind="reading.taken").payload)
    assert told["is_so"] is True
    assert told["doubt"].startswith("A gauge reads 0")


def test_what_is_signed_changes_with_it(isla, pickup):
    take(isla, pickup, "diesel", "0")
    before = shown_digest(pickup)
    take(isla, pickup, "diesel", "0", is_so="1")
    assert shown_digest(pickup) != before


def test_the_same_level_after_many_kilometres_is_asked(callum, back):
    take(callum, back, "odometer", "67100")
    assert "after 800 km. Was it filled just now?" in take(callum, back, "diesel", "82")


def test_the_same_level_is_not_asked_before_the_distance_is_known(callum, back):
    assert "say heed" not in take(callum, back, "diesel", "82")


def test_swapped_digits_of_the_odometer_are_named(callum, back):
    reading = take_reading(back, item=asked(back, "odometer"), typed="76642", act=an_act(callum, at=BACK_AT))
    assert reading.doubt == "That is 10\u202f342 km in 4 days. Did you mean 67\u202f642?"


def test_a_reading_says_what_it_was_read_off_and_by_whom(isla, pickup):
    take(isla, pickup, "diesel", "82")
    said = text_of(look(isla, "station", pickup.pk, 1))
    assert "gauge, steps of 0.5\u00a0L, ±\u00a01.5\u00a0L; Isla M., " in said
    assert "display, steps of" not in said


def test_a_number_says_so_too(isla, pickup):
    assert "display, steps of 1\u00a0km; Isla M., " in take(isla, pickup, "odometer", "66300")
