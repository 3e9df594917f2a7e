"""The tyres of a unit: pressures in three units, the law's least, and a reading against the plate. Nothing is kept."""

from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fleet.models import Layout, Unit
from shared.ledger.models import Entry


@pytest.fixture
def plated(unit_407: Unit) -> Unit:
    Layout.objects.update(tyre_front_bar=Decimal("3.8"), tyre_rear_bar=Decimal("4.5"))
    return unit_407


def page(client: Client, **typed: Any) -> str:
    return client.get(reverse("tyres", args=["407"]), typed).content.decode()


def test_the_plate_is_in_three_units(as_isla: Client, plated: Unit) -> None:
    said = page(as_isla)
    for figure in ("3.80 bar", "380 kPa", "55 psi", "4.50 bar", "450 kPa", "65 psi"):
        assert figure in said


def test_the_law_names_its_source_and_says_who_comes_first(as_isla: Client, plated: Unit) -> None:
    said = page(as_isla)
    law = "Road Vehicles (Construction and Use) Regulations 1986, reg. 27"
    assert f'1.6 mm <span class="soft" lang="en">{law}</span>' in said
    assert "Advice. The plate on the door pillar, the handbook and a tyre trade come first." in said


def test_a_country_without_a_limit_says_so(as_isla: Client, plated: Unit) -> None:
    plated.branch.country = "ZZ"
    plated.branch.save()
    assert "None is kept for this country: ask a tyre trade." in page(as_isla)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"axle": "front", "read": "3.5", "unit": "bar", "is_cold": "on"}, "3.50 bar is less than the 3.80 bar"),
        ({"axle": "rear", "read": "70", "unit": "psi", "is_cold": "on"}, "let it down to that"),
        ({"axle": "rear", "read": "70", "unit": "psi"}, "Read it again cold before letting air out"),
        ({"axle": "front", "read": "380", "unit": "kPa", "is_cold": "on"}, "As the plate has it"),
    ],
)
def test_a_reading_is_judged_against_its_axle(as_isla: Client, plated: Unit, typed: dict[str, str], words: str) -> None:
    assert words in page(as_isla, **typed)


@pytest.mark.parametrize(
    ("read", "words"), [("55", "Was it 55 psi?"), ("380", "Was it 380 kPa?"), ("-1", "0"), ("x", "number")]
)
def test_what_no_tyre_has_is_refused_and_stays_typed(as_isla: Client, plated: Unit, read: str, words: str) -> None:
    response = as_isla.get(reverse("tyres", args=["407"]), {"axle": "front", "read": read, "unit": "bar"})
    assert response.status_code == 422
    assert words in response.content.decode()
    assert f'value="{read}"' in response.content.decode()


def test_without_the_plate_nothing_is_checked(as_isla: Client, unit_407: Unit) -> None:
    said = page(as_isla, axle="front", read="3.5", unit="bar")
    assert "not entered: read the plate" in said
    assert "Check it" not in said


def test_nothing_is_kept(as_isla: Client, plated: Unit) -> None:
    page(as_isla, axle="front", read="3.5", unit="bar")
    assert not Entry.objects.exists()
