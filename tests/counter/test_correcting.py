"""Corrections: only with evidence, the old value beside the new, the sum follows."""

import pytest

from handover.acting import CannotBe
from handover.counter.actions import correct_reading
from handover.counter.evidence import Evidence
from handover.counter.models import Correction
from handover.photo.models import Photo
from handover.statement.models import Statement
from handover.walkround.document import shown_digest
from handover.walkround.models import Reading, WalkRound
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ids import uuid7
from tests.counter.conftest import LATER
from tests.counter.reading import due, inputs, priced_again
from tests.factories import an_act

pytestmark = pytest.mark.django_db
WHY = "The photo shows 52 litres"


def taken(statement: Statement, kind: str, code: str) -> Reading:
    return Reading.objects.get(walk__leg__rental=statement.rental, walk__kind=kind, item__code=code)


def test_the_price_follows(statement: Statement, callum: Person, a_photo: Evidence) -> None:
    """82 - 52 = 30, less 3, is 27 L at 1.62 = 43.74; 20 L are prepaid: 11.34."""
    reading = taken(statement, "return", "diesel")
    correct_reading(reading, typed="52", words=WHY, evidence=a_photo, act=an_act(callum, at=LATER))
    assert due(priced_again(statement.rental, callum))["FUEL"] == "11.34"


def test_the_document_says_what_was(statement: Statement, callum: Person, a_photo: Evidence) -> None:
    reading = taken(statement, "return", "diesel")
    correct_reading(reading, typed="52", words=WHY, evidence=a_photo, act=an_act(callum, at=LATER))
    (told,) = inputs(priced_again(statement.rental, callum))["corrections"]
    assert told == {
        "field": "legs[0].fuel.in_l", "was": "47.5", "now": "52.0", "evidence": WHY, "by": "Callum Reid",
    }  # fmt: skip


def test_the_reading_stays_as_it_was_taken(statement: Statement, callum: Person, a_photo: Evidence) -> None:
    reading = taken(statement, "return", "diesel")
    before = shown_digest(WalkRound.objects.get(pk=reading.walk.before_id))
    correct_reading(reading, typed="52", words=WHY, evidence=a_photo, act=an_act(callum, at=LATER))
    assert str(Reading.objects.get(pk=reading.pk).value) == "47.500"
    assert shown_digest(WalkRound.objects.get(pk=reading.walk.before_id)) == before


def test_the_photo_is_kept_at_the_return(statement: Statement, callum: Person, a_photo: Evidence) -> None:
    reading = taken(statement, "return", "diesel")
    correct_reading(reading, typed="52", words=WHY, evidence=a_photo, act=an_act(callum, at=LATER))
    photo = Photo.objects.get()
    assert (photo.subject, photo.station_number, photo.walk.kind) == (reading.item_id, 1, "return")
    assert inputs(priced_again(statement.rental, callum))["sources"]["legs[0].fuel.in_l"]["photos"] == [str(photo.pk)]


@pytest.mark.parametrize(
    ("typed", "words", "field"),
    [("120", WHY, "typed"), ("fifty", WHY, "typed"), ("47.5", WHY, "typed"), ("52", " ", "words")],
)
def test_what_cannot_be(
    statement: Statement, callum: Person, a_photo: Evidence, typed: str, words: str, field: str
) -> None:
    reading = taken(statement, "return", "diesel")
    with pytest.raises(CannotBe) as refused:
        correct_reading(reading, typed=typed, words=words, evidence=a_photo, act=an_act(callum, at=LATER))
    assert refused.value.field == field


def test_without_a_photo_nothing_is_corrected(statement: Statement, callum: Person) -> None:
    with pytest.raises(CannotBe, match="only with a photo"):
        correct_reading(
            taken(statement, "return", "diesel"), typed="52", words=WHY, evidence=Evidence(),
            act=an_act(callum, at=LATER),
        )  # fmt: skip


def test_a_photo_of_another_rental_shows_nothing(statement: Statement, callum: Person) -> None:
    with pytest.raises(CannotBe, match="not of this rental"):
        correct_reading(
            taken(statement, "return", "diesel"), typed="52", words=WHY, evidence=Evidence(chosen=(uuid7(),)),
            act=an_act(callum, at=LATER),
        )  # fmt: skip


def test_a_pickup_reading_needs_a_manager(
    statement: Statement, callum: Person, ruth: Person, a_photo: Evidence
) -> None:
    """80 - 47.5 = 32.5, less 3, is 29.5 L = 47.79; less 32.40 prepaid: 15.39."""
    reading = taken(statement, "pickup", "diesel")
    with pytest.raises(NotAllowed):
        correct_reading(reading, typed="80", words=WHY, evidence=a_photo, act=an_act(callum, at=LATER))
    correct_reading(reading, typed="80", words=WHY, evidence=a_photo, act=an_act(ruth, at=LATER))
    assert due(priced_again(statement.rental, ruth))["FUEL"] == "15.39"


def test_an_odometer_at_pickup_is_not_past_the_return(statement: Statement, ruth: Person, a_photo: Evidence) -> None:
    reading = taken(statement, "pickup", "odometer")
    with pytest.raises(CannotBe, match="more than it came back with"):
        correct_reading(reading, typed="42100", words=WHY, evidence=a_photo, act=an_act(ruth, at=LATER))
    correct_reading(reading, typed="41260", words=WHY, evidence=a_photo, act=an_act(ruth, at=LATER))
    assert inputs(priced_again(statement.rental, ruth))["legs"][0]["odo_out"] == 41260


def test_an_odometer_at_return_moves_the_unit(statement: Statement, callum: Person, a_photo: Evidence) -> None:
    reading = taken(statement, "return", "odometer")
    correct_reading(reading, typed="42180", words=WHY, evidence=a_photo, act=an_act(callum, at=LATER))
    reading.walk.leg.unit.refresh_from_db()
    assert reading.walk.leg.unit.odometer_km == 42180


def test_a_replay_corrects_once(statement: Statement, callum: Person, a_photo: Evidence) -> None:
    act, reading = an_act(callum, at=LATER), taken(statement, "return", "diesel")
    for _ in range(2):
        correct_reading(reading, typed="52", words=WHY, evidence=a_photo, act=act)
    assert (Correction.objects.count(), Photo.objects.count()) == (1, 1)


def test_corrected_again_the_later_counts(statement: Statement, callum: Person, a_photo: Evidence) -> None:
    reading = taken(statement, "return", "diesel")
    correct_reading(reading, typed="52", words=WHY, evidence=a_photo, act=an_act(callum, at=LATER))
    second = correct_reading(reading, typed="50", words="Read again", evidence=a_photo, act=an_act(callum, at=LATER))
    assert str(second.was) == "52.000"
    (told,) = inputs(priced_again(statement.rental, callum))["corrections"]
    assert (told["was"], told["now"]) == ("47.5", "50.0")
