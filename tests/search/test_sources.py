"""Nothing that people type is left out unseen, and the search can be made anew from the rows it follows."""

from typing import Any

import pytest
from django.apps import apps
from django.core.management import call_command
from django.urls import reverse

from handover.rental.models import Rental
from handover.retention.inventory import PLACES
from handover.retention.kinds import Kind as Personal
from handover.search.indexing import FOLLOWED
from handover.search.models import SearchRow, SearchWord
from handover.search.sources import BY_MODEL, KINDS, LABELS, PAGES
from handover.statement.models import Statement
from shared.ids import uuid7

NOT_FOUND = {
    "ShownOffline.text": "what a tablet showed, as a document",
    "ShownOffline.differences": "keys of answers",
    "Leg.cause": "the reason of the swap, which is found",
    "LegalHold.reason": "found while it holds; erased once it is lifted",
}
"""Words of people that the search leaves out, and why."""


def test_every_column_of_typed_words_is_found() -> None:
    typed = {
        f"{place.model}.{column}" for place in PLACES if place.kind is Personal.WORDS for column in place.columns
    } - set(NOT_FOUND)  # fmt: skip
    followed = {
        f"{label.partition('.')[2]}.{column}" for label, columns in FOLLOWED.items() for column in columns
    }  # fmt: skip
    assert typed - followed == set()


@pytest.mark.parametrize("label", FOLLOWED)
def test_what_is_followed_is_there(label: str) -> None:
    model = apps.get_model(label)
    assert {field.name for field in model._meta.get_fields()} >= set(FOLLOWED[label])


def test_every_page_that_is_led_to_is_there() -> None:
    named = {"retention", "paper-sheets", "unit-jobs"}
    for page in PAGES.values():
        wanted: list[Any] = ["name"] if page in named else [uuid7()]
        assert reverse(page, args=[*wanted, 1] if page == "statement-version" else wanted)
    assert all(str(name) for name in (*LABELS.values(), *KINDS.values()))
    assert set(BY_MODEL) <= set(LABELS)


def as_told() -> set[tuple[Any, ...]]:
    columns = ("source", "of", "kind", "branch", "rental", "unit", "target", "detail", "day", "until", "text")
    return set(SearchRow.objects.values_list(*columns))


def keys() -> list[bytes]:
    """Without the row's own number, which is another one each time."""
    return sorted(bytes(key)[:-8] for key in SearchWord.objects.values_list("key", flat=True))


def test_made_anew_it_is_the_same(
    priced: Statement, elsewhere: Rental, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    before = as_told(), keys()
    assert len(before[0]) > 12
    SearchRow.objects.filter(source="Rental").delete()
    call_command("rebuild_search")
    assert (as_told(), keys()) == before
    assert f"{len(before[0])} things can be found." in capsys.readouterr().out
