"""What can be a PIN, who may set it, and how it is kept."""

import pytest

from shared.access.models import Person
from shared.access.pins import Refused, fits, set_pin, why_not
from shared.ledger.models import Entry
from tests.factories import NINE, PASSWORD


@pytest.mark.parametrize("pin", ["4071", "90210", "83729156", "1357"])
def test_these_can_be(pin: str) -> None:
    assert why_not(pin) == ""


@pytest.mark.parametrize("pin", ["", "123", "123456789", "40a1", "４０７１", "-407", "40 71"])
def test_four_to_eight_digits_and_nothing_else(pin: str) -> None:
    assert why_not(pin) == "A PIN has 4 to 8 digits and nothing else."


@pytest.mark.parametrize(
    "pin", ["0000", "77777", "1234", "4321", "34567890", "98765", "1212", "123123", "12341234", "2580", "0852"]
)
def test_these_are_guessed_first(pin: str) -> None:
    assert "among the first" in why_not(pin)


def test_it_is_kept_hashed(isla: Person) -> None:
    set_pin(isla, password=PASSWORD, pin="4071", at=NINE)
    isla.refresh_from_db()
    assert "4071" not in isla.pin
    assert isla.pin.startswith(("argon2", "pbkdf2", "md5"))
    assert fits(isla, "4071")
    assert not fits(isla, "4072")


def test_without_a_pin_none_fits(isla: Person) -> None:
    assert not fits(isla, "")


def test_it_takes_the_password(isla: Person) -> None:
    with pytest.raises(Refused) as problem:
        set_pin(isla, password="guess", pin="4071", at=NINE)
    assert problem.value.field == "password"
    isla.refresh_from_db()
    assert isla.pin == ""


def test_a_weak_one_is_refused_at_its_field(isla: Person) -> None:
    with pytest.raises(Refused) as problem:
        set_pin(isla, password=PASSWORD, pin="0000", at=NINE)
    assert problem.value.field == "pin"


def test_the_ledger_knows_that_it_was_changed_not_to_what(isla: Person) -> None:
    set_pin(isla, password=PASSWORD, pin="4071", at=NINE)
    set_pin(isla, password=PASSWORD, pin="90210", at=NINE)
    told = Entry.objects.filter(chain=isla.pk).order_by("sequence").values_list("kind", "payload")
    assert list(told) == [("pin.set", '{"changed":false}'), ("pin.set", '{"changed":true}')]
