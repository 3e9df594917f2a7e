"""Nothing that holds text stands outside the inventory: a column added later fails here until it is judged."""

import re
from pathlib import Path

import pytest
from django.apps import apps
from django.contrib import admin
from django.db import models

from handover.rental.models import Rental
from handover.retention.inventory import ELSEWHERE, NOT_PERSONAL, PERSONAL_VALUES, PLACES
from handover.retention.kinds import Kind

WORDS = (models.CharField, models.TextField, models.JSONField)
OWN = {"RetentionTerm", "ErasureRequest", "Erasure", "ErasedKind", "ErasedFile"}
ROOT = Path(__file__).parents[2]


def columns() -> set[str]:
    """Every column of the product's own tables that can hold words; digests and lists to choose from cannot."""
    return {
        f"{model.__name__}.{field.name}"
        for model in apps.get_app_config("handover").get_models()
        for field in model._meta.concrete_fields
        if isinstance(field, WORDS) and not field.choices and not re.search("sha256|digest", field.name)
        if model.__name__ not in OWN
    }


def judged() -> set[str]:
    return {f"{place.model}.{column}" for place in PLACES for column in place.columns}


def innocent() -> set[str]:
    return {name for names in NOT_PERSONAL for name in names.split()}


def test_every_column_of_words_is_judged() -> None:
    assert columns() - judged() - innocent() == set()


def test_nothing_is_judged_that_is_not_there() -> None:
    known = {f"{model.__name__}.{field.name}" for model in apps.get_app_config("handover").get_models()
             for field in model._meta.concrete_fields}  # fmt: skip
    assert judged() | innocent() <= known
    assert not judged() & innocent()


def test_every_place_says_what_remains() -> None:
    assert all(place.remains and place.columns for place in PLACES)
    assert {place.kind for place in PLACES} | {Kind.TABLET} == set(Kind)
    assert all(ELSEWHERE.values())


@pytest.mark.parametrize("place", PLACES, ids=lambda place: f"{place.model} {place.kind}")
def test_every_place_leads_to_a_rental(place: object) -> None:
    assert str(place.table._base_manager.filter(**{place.path: None}).filter(place.only()).query)  # type: ignore[attr-defined]


def test_every_kind_of_value_in_the_ledger_is_judged() -> None:
    """As the actions write them: personal(…, kind="…")."""
    said = {
        kind
        for folder in ("handover", "shared", "fleet", "consumables")
        for path in (ROOT / folder).rglob("*.py")
        for call in re.findall(r"personal\((.*?)\)(?:,|$|\s)", path.read_text(encoding="utf-8"), re.DOTALL)
        for kind in re.findall(r'"([a-z_]+(?:\.[a-z_]+)?)"', call.partition("kind=")[2])
        if kind != "customer"
    }
    assert len(said) > 8
    assert said <= set(PERSONAL_VALUES)


@pytest.mark.parametrize("name", ["Customer", "Driver", "Signature", "Noticed", "Dispute"])
def test_nobody_is_in_the_log_of_the_setting_up_pages(name: str) -> None:
    """A rental is edited there; the log calls it by its number and names the columns, not what they hold."""
    assert not admin.site.is_registered(apps.get_model("handover", name))
    assert str(Rental(number="LK-20418")) == "LK-20418"
