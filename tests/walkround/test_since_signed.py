"""What was given after a signature is marked on the page that is signed, until it is signed anew."""

from datetime import timedelta

import pytest

from handover.acting import CannotBe
from handover.walkround.actions import answer_check, finish, pin_mark, take_reading
from handover.walkround.actions.marking import MarkSeen
from tests.factories import NINE, an_act
from tests.playing import sign
from tests.walkround.conftest import asked, look, text_of

LATER = NINE + timedelta(minutes=9)
HEADING = "Changed since it was signed: it takes new signatures."


def page(person, walk):
    return text_of(look(person, "sign-walk", walk.pk))


@pytest.fixture
def signed(pickup, isla):
    take_reading(pickup, item=asked(pickup, "diesel"), typed="82", act=an_act(isla, at=NINE))
    sign(pickup, isla, NINE)
    return pickup


def test_nobody_has_signed_yet(isla, pickup):
    assert HEADING not in page(isla, pickup)


def test_nothing_changed_since(isla, signed):
    assert HEADING not in page(isla, signed)


def test_a_later_answer_is_named_with_its_time_and_person(isla, signed):
    answer_check(signed, item=asked(signed, "Floor drain clear"), word="good", act=an_act(isla, at=LATER))
    said = page(isla, signed)
    assert HEADING in said
    assert "<li>2 Floor drain clear, 09:09, Isla M.</li>" in said
    assert "<li>1 Diesel" not in said


def test_read_again_and_a_new_mark_are_named_too(isla, signed):
    take_reading(signed, item=asked(signed, "diesel"), typed="81", act=an_act(isla, at=LATER))
    seen = MarkSeen("scratch", "door", "locker door", 40, -1000, 5300)
    pin_mark(signed, station=2, seen=seen, act=an_act(isla, at=LATER))
    said = page(isla, signed)
    assert "<li>1 Diesel, 09:09, Isla M.</li>" in said
    assert "<li>2 Mark 1, scratch 40 mm, locker door, 09:09" in said


def test_the_keys_wait_for_new_signatures(isla, signed):
    answer_check(signed, item=asked(signed, "Floor drain clear"), word="good", act=an_act(isla, at=LATER))
    with pytest.raises(CannotBe):
        finish(signed, act=an_act(isla, at=LATER))


def test_signed_anew_it_is_gone(isla, signed):
    answer_check(signed, item=asked(signed, "Floor drain clear"), word="good", act=an_act(isla, at=LATER))
    sign(signed, isla, LATER)
    assert HEADING not in page(isla, signed)
