"""Who takes a device over, by what, and what a wrong PIN costs."""

from datetime import timedelta
from uuid import UUID

from shared.access.models import Device, DevicePerson, Person
from shared.access.taking_over import (
    MOST_WRONG,
    Answer,
    known_on,
    people_of,
    remember,
    take_over_by_password,
    take_over_by_pin,
)
from shared.ids import uuid7
from shared.ledger.models import Entry
from tests.access.conftest import PIN
from tests.factories import NINE, PASSWORD

HERE = uuid7()


def try_pin(person: Person, pin: str, device: UUID = HERE) -> Answer:
    return take_over_by_pin(device, person.pk, pin, was=None, at=NINE)


def stop(person: Person) -> Answer:
    return [try_pin(person, "1111") for _ in range(MOST_WRONG)][-1]


def test_who_signed_in_stands_on_the_list_latest_first(isla_with_pin: Person, callum: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    remember(HERE, callum, at=NINE + timedelta(minutes=5))
    assert [(known.person, known.by_pin) for known in people_of(HERE)] == [(callum, False), (isla_with_pin, True)]


def test_another_device_knows_nobody(isla: Person) -> None:
    remember(HERE, isla, at=NINE)
    assert list(people_of(uuid7())) == list(people_of(None)) == []


def test_signing_in_again_keeps_the_first_time(isla: Person) -> None:
    remember(HERE, isla, at=NINE)
    remember(HERE, isla, at=NINE + timedelta(days=1))
    row = DevicePerson.objects.get()
    assert (row.first_at, row.last_at) == (NINE, NINE + timedelta(days=1))


def test_the_right_pin(isla_with_pin: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    assert try_pin(isla_with_pin, PIN) == Answer(isla_with_pin)


def test_the_right_pin_on_a_device_that_does_not_know_her(isla_with_pin: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    answer = try_pin(isla_with_pin, PIN, device=uuid7())
    assert answer.person is None
    assert "Sign in with name and password" in answer.sentence


def test_no_pin_yet(callum: Person) -> None:
    remember(HERE, callum, at=NINE)
    assert try_pin(callum, "4071").sentence == "Callum Reid has no PIN yet. The password opens the tablet."


def test_a_wrong_pin_says_how_many_tries_are_left(isla_with_pin: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    assert "4 more tries" in try_pin(isla_with_pin, "1111").sentence


def test_the_last_but_one_says_one_more(isla_with_pin: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    assert "1 more try," in [try_pin(isla_with_pin, "1111") for _ in range(4)][-1].sentence


def test_after_five_not_even_the_right_one(isla_with_pin: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    assert "Now it takes the password" in stop(isla_with_pin).sentence
    assert try_pin(isla_with_pin, PIN).person is None
    known = known_on(HERE, isla_with_pin.pk)
    assert known
    assert (known.is_stopped, known.by_pin) == (True, False)


def test_five_on_one_device_leave_the_others_alone(isla_with_pin: Person) -> None:
    other = uuid7()
    for device in (HERE, other):
        remember(device, isla_with_pin, at=NINE)
    stop(isla_with_pin)
    assert try_pin(isla_with_pin, PIN, device=other).person == isla_with_pin


def test_five_of_one_leave_the_others_on_it_alone(isla_with_pin: Person, callum: Person) -> None:
    for person in (isla_with_pin, callum):
        remember(HERE, person, at=NINE)
    stop(isla_with_pin)
    assert take_over_by_password(HERE, callum.pk, PASSWORD, was=None, at=NINE).person == callum


def test_the_right_one_forgives_the_wrong_ones_before(isla_with_pin: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    for pin in ("1111", "2222", PIN, "1111"):
        answer = try_pin(isla_with_pin, pin)
    assert "4 more tries" in answer.sentence


def test_the_password_lets_the_pin_work_again(isla_with_pin: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    stop(isla_with_pin)
    assert take_over_by_password(HERE, isla_with_pin.pk, PASSWORD, was=None, at=NINE).person == isla_with_pin
    assert try_pin(isla_with_pin, PIN).person == isla_with_pin


def test_a_hello_does_not_forgive(isla_with_pin: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    stop(isla_with_pin)
    remember(HERE, isla_with_pin, at=NINE)
    assert try_pin(isla_with_pin, PIN).person is None


def test_a_wrong_password(isla_with_pin: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    assert take_over_by_password(HERE, isla_with_pin.pk, "guess", was=None, at=NINE).person is None


def test_who_left_is_not_on_the_list_and_takes_nothing_over(isla_with_pin: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    Person.objects.update(is_active=False)
    assert not people_of(HERE)
    assert try_pin(isla_with_pin, PIN).person is None


def test_a_revoked_device_opens_for_nobody(isla_with_pin: Person, ruth: Person) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    Device.objects.update(revoked_at=NINE, revoked_by=ruth)
    assert not people_of(HERE)
    assert try_pin(isla_with_pin, PIN).person is None
    assert take_over_by_password(HERE, isla_with_pin.pk, PASSWORD, was=None, at=NINE).person is None


def test_the_ledger_of_the_device_keeps_who_from_whom_and_every_wrong_one(
    isla_with_pin: Person, callum: Person
) -> None:
    remember(HERE, isla_with_pin, at=NINE)
    try_pin(isla_with_pin, "1111")
    take_over_by_pin(HERE, isla_with_pin.pk, PIN, was=callum, at=NINE)
    told = Entry.objects.filter(chain=HERE).order_by("sequence").values_list("kind", "actor", "payload")
    assert list(told) == [
        ("tablet.wrong_pin", None, f'{{"in_a_row":1,"person":"{isla_with_pin.pk}"}}'),
        ("tablet.taken_over", isla_with_pin.pk, f'{{"by":"pin","from":"{callum.pk}","to":"{isla_with_pin.pk}"}}'),
    ]
