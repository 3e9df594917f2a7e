"""Credits, waivers, charges by hand."""

from typing import Any

import pytest

from tests.charges.documents import damaged, due, event, extra, line, priced

CLEANING = {"cleaning": {"interior": {"standard": "60.00"}, "exterior": {"standard": "150.00"}}}
DIRTY = {"interior": "standard", "exterior": "standard"}


def waiver(**more: Any) -> dict[str, Any]:
    told = {"code": "CLEANING", "ref": "interior standard", "reason": "photo missing", "approver": "depot manager"}
    return {**told, **more}


def waived(*waivers: dict[str, Any], limits: Any = None, **parts: Any) -> Any:
    rules = {**CLEANING, **({"waivers": {"limits": limits}} if limits else {})}
    return priced(rules=rules, cleaning=DIRTY, waivers=list(waivers), **parts)


def taken(statement: Any) -> list[str]:
    return [str(one.amount) for one in statement.lines if one.code == "WAIVER"]


@pytest.mark.parametrize(
    ("told", "amounts"),
    [
        ([{"percent": "100"}], ["-60.00"]),
        ([{"percent": "33.333"}], ["-20.00"]),
        ([{"amount": "25.00"}], ["-25.00"]),
        ([{"amount": "99.00"}], ["-60.00"]),
        ([{"percent": "50"}, {"percent": "50"}], ["-30.00", "-30.00"]),
        ([{"percent": "75"}, {"percent": "75"}], ["-45.00", "-15.00"]),
        ([{"percent": "100"}, {"amount": "10.00"}], ["-60.00"]),
        ([{"percent": "40"}, {"percent": "40"}, {"percent": "40"}], ["-24.00", "-24.00", "-12.00"]),
        ([{"percent": "10", "ref": None}], ["-6.00", "-15.00"]),
        ([{"amount": "70.00", "ref": None}], ["-60.00", "-10.00"]),
        ([{"percent": "0"}], []),
    ],
)
def test_by_percent_or_amount_never_below_zero(told: list[dict[str, Any]], amounts: list[str]) -> None:
    assert taken(waived(*(waiver(**one) for one in told))) == amounts


@pytest.mark.parametrize(
    ("told", "takes"),
    [
        ({"approver": "host", "amount": "50.00"}, True),
        ({"approver": "host", "amount": "50.01"}, False),
        ({"approver": "shift lead", "percent": "100"}, True),
        ({"approver": "Isla M.", "role": "host", "amount": "51.00"}, False),
        ({"approver": "host", "amount": "51.00", "second_approver": "shift lead"}, True),
        ({"approver": "shift lead", "amount": "51.00", "second_approver": "host"}, True),
        ({"approver": "Isla M.", "role": "host", "amount": "51.00", "second_approver": "host"}, False),
        (
            {
                "approver": "Isla M.",
                "role": "host",
                "amount": "51.00",
                "second_approver": "R.",
                "second_role": "manager",
            },
            True,
        ),
        (
            {"approver": "Isla M.", "role": "host", "amount": "51.00", "second_approver": "R.", "second_role": "host"},
            False,
        ),
        ({"approver": "Isla M.", "role": "cook", "amount": "1.00"}, False),
    ],
)
def test_by_the_limit_of_the_role(told: dict[str, Any], takes: bool) -> None:
    statement = waived(waiver(**told))
    assert (bool(taken(statement)), bool(statement.lapsed)) == (takes, not takes)


def test_limits_of_the_rate_card() -> None:
    assert taken(waived(waiver(approver="host", amount="50.00"), limits={"host": "20", "manager": None})) == []
    assert taken(waived(waiver(approver="manager", amount="60.00"), limits={"host": "20", "manager": None})) == [
        "-60.00"
    ]


@pytest.mark.parametrize("ref", ["interior heavy", "interior standard"])
def test_a_waiver_whose_line_is_gone_lapses(ref: str) -> None:
    covered = [extra(cleaning_up_to={"interior": "standard"})]
    statement = waived(waiver(ref=ref, percent="50"), prepaid=covered)
    assert [(one.code, one.ref) for one in statement.lapsed] == [("CLEANING", ref)]
    assert statement.as_document()["lapsed"][0]["sentence"].startswith("This line is not on the statement")


def test_a_lapsed_waiver_of_every_line_has_no_ref() -> None:
    assert waived(waiver(code="LATE", ref=None, percent="50")).lapsed[0].ref == ""


def test_a_waiver_keeps_the_class_of_its_line() -> None:
    told = [waiver(code="DAMAGE", ref="rear bumper", percent="50"), waiver(code="MANUAL", ref="x", percent="50")]
    manual = by_hand(tax_class="zero")
    statement = priced(rules={"damage": {}}, events=[event(damaged())], waivers=told, manual_lines=[manual])
    assert [one.tax_code for one in statement.lines if one.code == "WAIVER"] == ["outside_scope", "zero"]


def credit(**more: Any) -> dict[str, Any]:
    return {"code": "GOODWILL", "ref": "heating", "amount": "40.00", "reason": "cold night", "approver": "R.", **more}


@pytest.mark.parametrize(
    ("told", "tax_code", "tax"),
    [
        ({}, "standard", "-6.67"),
        ({"reduces": "DAMAGE"}, "outside_scope", "0.00"),
        ({"tax_class": "zero"}, "zero", "0.00"),
        ({"code": "SERVICE_FAILURE"}, "standard", "-6.67"),
        ({"code": "OVERPAID", "tax_class": "outside_scope"}, "outside_scope", "0.00"),
    ],
)
def test_credits_have_a_tax_class(told: dict[str, str], tax_code: str, tax: str) -> None:
    charge = priced(credits=[credit(**told)]).lines[0]
    assert (str(charge.amount), charge.tax_code, str(charge.tax)) == ("-40.00", tax_code, tax)


def by_hand(**more: Any) -> dict[str, Any]:
    told = {"ref": "x", "amount": "30.00", "evidence": "photo 12", "by": "Isla M.", "second": "Ruth A."}
    return {**told, "customer_told_on": "2026-05-10", **more}


def test_a_charge_by_hand() -> None:
    assert due(manual_lines=[by_hand()]) == {"MANUAL x": "30.00"}
    assert line(priced(manual_lines=[by_hand()]), "MANUAL").measure == "photo 12"
