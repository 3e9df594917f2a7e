"""What is kept as evidence is in the house language, whatever language the person reads who made it."""

import json
import re

import pytest
from django.utils.translation import gettext, override

from handover.record.actions import sealed_pdf
from handover.record.models import Record
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.walkround.document import shown_digest
from shared.access.models import Person
from shared.ledger.models import Entry
from tests.factories import BACK_AT, ExtraOfferFactory, RentalFactory, UnitFactory, an_act
from tests.pages.words import what_the_database_says
from tests.playing import come_back, go
from tests.pseudo import OPEN, pseudo, spoken_instead_of

LEFT = {"diesel": "82", "gas_front": "11.7", "odometer": "41206"}
CAME_BACK = {"diesel": "47.5", "gas_front": "9.1", "odometer": "42018"}


def bracketed(text: str) -> list[str]:
    """What stands around each opening bracket."""
    return [text[max(0, at.start() - 80) : at.end() + 80] for at in re.finditer(re.escape(OPEN.strip()), text)]


@pytest.fixture
def rental(inverlark: object) -> Rental:
    return RentalFactory(leg=UnitFactory(odometer_km=41_000), extras=[ExtraOfferFactory()])


@pytest.mark.usefixtures("in_brackets")
def test_nothing_of_a_whole_rental_is_kept_in_the_page_s_language(rental: Rental, isla: Person, callum: Person) -> None:
    go(rental, isla, **LEFT)
    come_back(rental, callum, seal="broken", **CAME_BACK)
    statement = draw_up(rental, act=an_act(callum, at=BACK_AT))
    assert statement.total > 0
    assert Entry.objects.count() > 10
    assert bracketed(what_the_database_says()) == []


@pytest.mark.usefixtures("in_brackets")
def test_a_record_is_in_the_house_language(rental: Rental, isla: Person) -> None:
    go(rental, isla, **LEFT)
    _pdf, attachment = sealed_pdf(Record.objects.get(rental=rental))
    assert bracketed(json.dumps(json.loads(attachment), ensure_ascii=False)) == []


def test_what_two_people_sign_is_the_same_document_in_each_language(rental: Rental, isla: Person) -> None:
    walk = go(rental, isla, **LEFT)
    seen = shown_digest(walk)
    with spoken_instead_of("fr"), override("fr"):
        assert shown_digest(walk) == seen


def test_the_language_of_brackets_is_really_spoken(in_brackets: None) -> None:
    """Else the tests above could not fail."""
    assert gettext("Unit") == pseudo("Unit")
