"""Safety kits: every parameter of their rule."""

from typing import Any

import pytest

from tests.charges.documents import due, line, priced, reasons

WHOLE = {"mode": "whole_kit", "kit_price": "39.00"}
BY_ITEM = {
    "mode": "per_item",
    "kit_price": "42.00",
    "items": {"burn dressing": "7.20", "bandage": "4.50", "blanket": "30.00"},
    "reseal_fee": "8.00",
}


def kit_due(rate: dict[str, Any], **kit: Any) -> dict[str, str]:
    return due(rules={"kits": {"first_aid": rate}}, kits=[{"kit": "first_aid", **kit}])


@pytest.mark.parametrize(
    "kit",
    [
        {"seal_intact": False},
        {"missing": ["bandage", "bandage"]},
        {"seal_out": "93412", "seal_in": "93413"},
        {"pin_pulled": True},
        {"gauge_out": "green", "gauge_in": "out_of_green"},
        {"gauge_in": "out_of_green"},
    ],
)
def test_opened_means_the_kit_once(kit: dict[str, Any]) -> None:
    assert kit_due(WHOLE, **kit) == {"SAFETY_KIT first_aid": "39.00"}


@pytest.mark.parametrize(
    ("kit", "amount"),
    [
        ({"missing": ["burn dressing"]}, "15.20"),
        ({"missing": ["burn dressing", "bandage"]}, "19.70"),
        ({"seal_intact": False}, "8.00"),
        ({"missing": ["burn dressing", "blanket"]}, "42.00"),  # 45.20, never above the kit
    ],
)
def test_by_item_with_sealing(kit: dict[str, Any], amount: str) -> None:
    assert kit_due(BY_ITEM, **kit) == {"SAFETY_KIT first_aid": amount}


def test_by_item_without_a_cap_or_a_seal() -> None:
    rate = {"mode": "per_item", "items": {"blanket": "30.00"}}
    assert kit_due(rate, missing=["blanket", "blanket"]) == {"SAFETY_KIT first_aid": "60.00"}
    assert kit_due(rate, seal_intact=False) == {}


@pytest.mark.parametrize(
    ("kit", "reason"),
    [
        ({}, "level"),
        ({"seal_out": "93412", "seal_in": "93412"}, "level"),
        ({"seal_intact": None}, "not_read"),
        ({"seal_out": None, "seal_intact": False}, "no_baseline"),
        ({"gauge_out": None, "pin_pulled": True}, "no_baseline"),
        ({"gauge_out": "out_of_green", "gauge_in": "out_of_green"}, "level"),
        ({"seal_intact": False, "expired_at_pickup": True}, "exempt"),
        ({"seal_intact": False, "injury_report": True}, "exempt"),
        ({"pin_pulled": True, "fire_report": True}, "exempt"),
    ],
)
def test_why_a_kit_is_free(kit: dict[str, Any], reason: str) -> None:
    statement = priced(rules={"kits": {"first_aid": WHOLE}}, kits=[{"kit": "first_aid", **kit}])
    assert (statement.lines, reasons(statement)) == ((), {"SAFETY_KIT first_aid": reason})


def test_an_accident_is_not_free_where_that_is_agreed() -> None:
    assert kit_due({**WHOLE, "accident_exempt": False}, seal_intact=False, injury_report=True) != {}


def test_a_kit_without_a_price_is_not_charged() -> None:
    assert reasons(priced(kits=[{"kit": "first_aid", "seal_intact": False}])) == {"SAFETY_KIT first_aid": "no_rule"}


@pytest.mark.parametrize(
    ("kit", "measure"),
    [
        ({"seal_intact": False, "seal_out": "93412"}, "Seal 93412 broken"),
        ({"seal_intact": False}, "Seal broken"),
        ({"seal_out": "93412", "seal_in": "93413"}, "Seal 93412 left, seal 93413 came back"),
        ({"missing": ["bandage", "blanket"]}, "2 used"),
        ({"pin_pulled": True}, "Used"),
    ],
)
def test_what_is_said_of_it(kit: dict[str, Any], measure: str) -> None:
    statement = priced(rules={"kits": {"first_aid": WHOLE}}, kits=[{"kit": "first_aid", **kit}])
    assert line(statement, "SAFETY_KIT").measure == measure
