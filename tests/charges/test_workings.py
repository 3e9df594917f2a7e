"""The steps of a line are arithmetic: anyone can do the sum again and gets the same figures."""

import operator
from collections.abc import Callable
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import Any

import pytest

from handover.charges import Line, Show, Sign, parse, price
from handover.charges.document.checks import held_at
from handover.charges.workings import begun, plain, spoken
from tests.charges.documents import FUEL, document, extra, fuel_leg, line, priced
from tests.charges.everything import EVERYTHING
from tests.charges.rare import RARE_CASES
from tests.reference.test_cases import CASES

APPLIED: dict[Sign, Callable[[Decimal, Decimal], Decimal]] = {
    Sign.START: operator.add,
    Sign.PLUS: operator.add,
    Sign.MINUS: operator.sub,
    Sign.TIMES: operator.mul,
    Sign.DIVIDED: operator.truediv,
    Sign.AT_LEAST: max,
    Sign.AT_MOST: min,
    Sign.WHOLE: lambda figure, size: (figure / size).to_integral_value(ROUND_CEILING) * size,
    Sign.EQUALS: lambda figure, shown: figure.quantize(shown, rounding=ROUND_HALF_UP),
}


def recomputed(charge: Line) -> Decimal:
    figure = Decimal(0)
    for step in charge.workings:
        figure = APPLIED[step.sign](figure, step.quantity)
        assert step.sign is not Sign.EQUALS or figure == step.quantity, step
    return figure


DOCUMENTS = [*CASES, *EVERYTHING, *RARE_CASES]


@pytest.mark.parametrize("case", DOCUMENTS, ids=[case.get("id", "?") for case in DOCUMENTS])
def test_every_chain_comes_out(case: dict[str, Any]) -> None:
    for charge in price(parse(case)).lines:
        assert recomputed(charge) == charge.amount, charge.code
        assert charge.workings[-1].kind is Show.DUE


@pytest.mark.parametrize("case", DOCUMENTS, ids=[case.get("id", "?") for case in DOCUMENTS])
def test_every_step_says_what_it_is(case: dict[str, Any]) -> None:
    for charge in price(parse(case)).lines:
        assert all(step.label for step in charge.workings)
        assert charge.measure


def test_a_fuel_line_step_by_step() -> None:
    leg = {"tank_l": "90", "out_l": "82.0", "in_l": "47.5", "half_width_out_l": "1.5", "half_width_in_l": "1.5"}
    fuel = {**FUEL, "price_per_litre": "1.62", "tolerance_mode": "instrument"}
    bought = [extra("Extra 20 L", limits={"fuel_litres": "20"})]
    charge = line(priced(rules={"fuel": fuel}, legs=[{"unit": "U1", "fuel": leg}], prepaid=bought), "FUEL")
    assert [f"{step.sign} {step.quantity} {step.unit} {step.label}".strip() for step in charge.workings] == [
        "82.0 L left with",
        "− 47.5 L came back with",
        "= 34.5 L less by",
        "− 3.0 L gauge can't tell, 1.5 + 1.5, yours",
        "= 31.5 L counts",
        "× 1.62 EUR/L fuel",
        "= 51.03 EUR full price",
        "− 32.40 EUR Extra 20 L: 20 L × 1.62",
        "= 18.63 EUR due",
    ]


def test_a_figure_knows_where_it_stands() -> None:
    charge = line(priced(rules={"fuel": FUEL}, legs=[fuel_leg(8, 5)]), "FUEL")
    sources = [step.source for step in charge.workings if step.source]
    assert sources == [
        "legs[0].fuel.out",
        "legs[0].fuel.in",
        "legs[0].fuel.tank_l",
        "legs[0].fuel.steps",
        "rules.fuel.price_per_litre",
    ]


def stands_at(case: Any, path: str) -> bool:
    return held_at(case, path)[0]


def test_sources_are_paths_of_the_document() -> None:
    case = document(rules={"fuel": {**FUEL, "service_fee": "25.00"}}, legs=[fuel_leg(8, 5)])
    for charge in price(parse(case)).lines:
        assert all(stands_at(case, step.source) for step in charge.workings if step.source)


@pytest.mark.parametrize(("quantity", "said"), [("33.750", "33.75"), ("5.00", "5"), ("100", "100"), ("0", "0")])
def test_figures_as_said(quantity: str, said: str) -> None:
    assert spoken(Decimal(quantity)) == said
    assert plain(Decimal(quantity)) == quantity


def test_hundreds_are_said_in_digits() -> None:
    assert spoken(Decimal("1E+2")) == plain(Decimal("1E+2")) == "100"


@pytest.mark.parametrize(
    ("quantity", "size", "count"), [("120", 60, 2), ("121", 60, 3), ("0", 60, 0), ("1.1", "0.25", 5)]
)
def test_blocks_begun(quantity: str, size: Any, count: int) -> None:
    assert begun(Decimal(quantity), Decimal(size)) == count
