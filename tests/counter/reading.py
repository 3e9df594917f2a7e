"""Reads statements in tests: the amounts of the latest version by code."""

import json
from datetime import datetime
from typing import Any

from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.statement.models import Statement
from shared.access.models import Person
from tests.counter.conftest import LATER
from tests.factories import an_act


def priced_again(rental: Rental, by: Person, *, at: datetime = LATER) -> Statement:
    return draw_up(Rental.objects.get(pk=rental.pk), act=an_act(by, at=at))


def due(statement: Statement) -> dict[str, str]:
    return {line["code"]: line["amount"] for line in result(statement)["lines"]}


def result(statement: Statement) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(statement.result)
    return found


def inputs(statement: Statement) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(statement.inputs)
    return found


def sentence_on(statement: Statement, code: str) -> str:
    return next(row["sentence"] for row in result(statement)["findings"] if row["code"] == code)
