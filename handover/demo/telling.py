"""A statement in plain text, with the workings of every line."""

import json
from collections.abc import Iterator, Mapping
from decimal import Decimal

from fleet.models import Kit
from handover.statement.models import Statement
from handover.statement.words import line_title
from shared.money import money_text


def told(statement: Statement) -> str:
    return "\n".join(_lines(statement))


def _lines(statement: Statement) -> Iterator[str]:
    result, currency = json.loads(statement.result), statement.currency
    names = dict(Kit.objects.values_list("code", "name"))
    yield f"\n  Statement {statement.version} of {statement.rental.number}, {statement.rental.customer.name}"
    yield f"  {'':4}{'':34}{'Full price':>12}{'Extras pay':>12}{'Due':>12}"
    for number, (line, workings) in enumerate(zip(result["lines"], result["workings"], strict=True), start=1):
        title = line_title(line["code"], line["ref"], names=names)
        amounts = "".join(f"{_money(line[key], currency):>12}" for key in ("raw", "covered", "amount"))
        yield f"  {number:<4}{title:34}{amounts}"
        yield from (_step(step) for step in workings["steps"])
    totals = result["totals"]
    yield f"  {'':4}{'Due':34}{'':24}{_money(totals['total'], currency):>12}"
    yield f"      tax {_money(totals['tax'], currency)}, deposit held {_money(totals['deposit_held'], currency)},"
    yield f"      {_money(totals['deposit_released'], currency)} goes back"
    yield "\n  No charge:"
    yield from (
        f"      {line_title(row['code'], row['ref'], names=names)}: {row['sentence']}" for row in result["findings"]
    )
    yield ""


def _step(step: Mapping[str, str]) -> str:
    return f"        {step['sign']:11}{step['quantity']:>8} {step['unit']:9} {step['label']}"


def _money(amount: str, currency: str) -> str:
    return money_text(Decimal(amount), currency)
