"""No page says a word that is in no catalog: in a language of brackets, nothing but data stands outside them."""

from collections.abc import Callable, Iterator

import pytest
from django.test import Client
from django.urls import reverse

from shared.access.models import Person
from tests.pages.test_permissions import ROWS, Row, World, world  # noqa: F401 (a fixture)
from tests.pages.words import commas_for_programs, outside_brackets, what_the_database_says
from tests.pseudo import spoken_instead_of

# A Cab card is the customer's: it speaks their language, whatever the yard's pages speak.
CUSTOMERS = {"cab-card"} | {row.name for row in ROWS if row.name.startswith("customer-") and row.public}
PAGES = [row for row in ROWS if row.sent is None and row.name not in CUSTOMERS]


@pytest.fixture(autouse=True)
def brackets() -> Iterator[None]:
    with spoken_instead_of("fr"):
        yield


def words_left(address: str, person: Person | None) -> list[str]:
    browser = Client(headers={"accept-language": "fr"})
    if person:
        Person.objects.filter(pk=person.pk).update(language="fr")
        browser.force_login(person)
    answer = browser.get(address, follow=True)
    if "html" not in answer.headers.get("Content-Type", ""):
        return []
    return outside_brackets(answer.text, what_the_database_says()) + commas_for_programs(answer.text)


@pytest.mark.parametrize("row", PAGES, ids=[row.name for row in PAGES])
def test_every_page(row: Row, world: World, ruth: Person, anders: Person) -> None:  # noqa: F811
    person = ruth if "manager" in row.roles.split() else anders
    left = words_left(reverse(row.name, kwargs=row.where(world)), person)
    assert not left, "\n".join(left)


@pytest.mark.parametrize("name", ["sign-in", "record-lookup"])
def test_before_sign_in(name: str, world: World) -> None:  # noqa: F811
    row = next(row for row in ROWS if row.name == name)
    left = words_left(reverse(name, kwargs=row.where(world)), None)
    assert not left, "\n".join(left)


def test_the_words_of_the_day_board_are_found_without_brackets(
    signed_in: Callable[[Person], Client], ruth: Person
) -> None:
    """What would be found if nothing were translated: the test itself can fail."""
    page = signed_in(ruth).get("/", follow=True).text
    assert len(outside_brackets(page, "")) > 10


def test_a_figure_for_a_program_has_a_point() -> None:
    assert commas_for_programs('<input value="7,5" min="0">') == ['value="7,5"']
    assert commas_for_programs('<input value="7.5" aria-label="7,5 kg">') == []
