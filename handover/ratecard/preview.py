"""What the last rentals would have come to under a card: their stored inputs priced again with its rules. No writes."""

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet

from fleet.models import Equipment
from handover.charges import DocumentError, parse, price
from handover.ratecard.fleet_facts import Thing
from handover.rental.freezing import with_opening_hours
from handover.rental.models import RateCard
from handover.statement.models import Statement
from handover.statement.promise import rules_for_pricing
from handover.statement.queries import latest_versions
from handover.statement.words import line_title

LAST = 50
ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class LineChange:
    """One line before and after; an amount is None where the line is not there."""

    title: str
    before: Decimal | None
    after: Decimal | None

    @property
    def difference(self) -> Decimal:
        return (self.after or ZERO) - (self.before or ZERO)


@dataclass(frozen=True, slots=True)
class RentalChange:
    """`problem` says why a rental cannot be priced under the card; then nothing else counts."""

    statement: Statement
    lines: Sequence[LineChange] = ()
    before: Decimal = ZERO
    after: Decimal = ZERO
    problem: str = ""

    @property
    def difference(self) -> Decimal:
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class Preview:
    """`changed` are the rentals with any other line; the sums are of all that could be priced."""

    counted: int
    changed: Sequence[RentalChange]
    refused: Sequence[RentalChange]
    before: Decimal
    after: Decimal

    @property
    def difference(self) -> Decimal:
        return self.after - self.before

    @property
    def same(self) -> int:
        return self.counted - len(self.changed) - len(self.refused)


def preview(card: RateCard) -> Preview:
    """In a fixed number of queries."""
    statements = list(last_statements(card))
    rules = with_opening_hours(card.rules, card.branch)
    things = {} if not statements else _things(card)
    rows = [_change(statement, rules, things) for statement in statements]
    priced = [row for row in rows if not row.problem]
    return Preview(
        counted=len(rows),
        changed=[row for row in priced if row.lines],
        refused=[row for row in rows if row.problem],
        before=sum((row.before for row in priced), ZERO),
        after=sum((row.after for row in priced), ZERO),
    )


def last_statements(card: RateCard) -> QuerySet[Statement]:
    """The latest version of each of the branch's last rentals, in the currency the branch has now."""
    promised = latest_versions().filter(rental__branch=card.branch_id, rental__frozen__isnull=False)
    rows = promised.filter(currency=card.branch.currency)
    return rows.select_related("rental__customer").order_by("-drawn_up_at")[:LAST]


def _things(card: RateCard) -> dict[str, Thing]:
    """Equipment of the branch's layouts by its name, which is what inputs call it."""
    rows = Equipment.objects.filter(station__layout__units__branch=card.branch_id).select_related("station__layout")
    return {
        row.name: Thing(row.code, row.name, str(row.station.layout), str(row.price), row.station.layout.currency)
        for row in rows
    }


def _change(statement: Statement, rules: Mapping[str, Any], things: Mapping[str, Thing]) -> RentalChange:
    inputs, kept = json.loads(statement.inputs), json.loads(statement.result)
    try:
        now = price(parse(_under(inputs, rules, things, statement))).as_document()
    except DocumentError as error:
        return RentalChange(statement, problem=str(error.problems[0]))
    before, after = (Decimal(result["totals"]["total"]) for result in (kept, _plain(now)))
    return RentalChange(statement, list(_lines(kept["lines"], _plain(now)["lines"])), before, after)


def _plain(document: Any) -> dict[str, Any]:
    found: dict[str, Any] = document
    return found


def _under(
    inputs: dict[str, Any], rules: Mapping[str, Any], things: Mapping[str, Thing], statement: Statement
) -> dict[str, Any]:
    """The inputs as they would be, had this card been frozen at the pickup."""
    was = statement.rental.frozen or {}
    frozen = dict(was) | {"rules": _as_promised(rules, inputs)}
    priced = [_priced(item, things.get(item["item"]), was, frozen) for item in inputs.get("equipment", [])]
    return inputs | {"rules": rules_for_pricing(frozen), "equipment": [item for item in priced if item]}


def _as_promised(rules: Mapping[str, Any], inputs: Mapping[str, Any]) -> dict[str, Any]:
    """The hours stay those of the rental: only the card's own rules are compared."""
    promised = inputs["rules"].get("late", {})
    if "late" not in rules or "opening_hours" not in promised:
        return dict(rules)
    hours = {key: promised[key] for key in ("opening_hours", "closed_dates") if key in promised}
    return dict(rules) | {"late": rules["late"] | hours}


def _priced(
    item: dict[str, Any], thing: Thing | None, was: Mapping[str, Any], frozen: Mapping[str, Any]
) -> dict[str, Any] | None:
    """With this card's price; where only the old card had one, with the layout's, if that is in the same currency."""
    if thing is None:
        return item
    prices, old = (card.get("rules", {}).get("equipment", {}).get("prices", {}) for card in (frozen, was))
    if thing.code in prices:
        return item | {"price": prices[thing.code]}
    if thing.code not in old:
        return item
    return item | {"price": thing.price} if thing.currency == frozen["currency"] else None


def _lines(before: Sequence[Mapping[str, Any]], after: Sequence[Mapping[str, Any]]) -> Iterator[LineChange]:
    """Lines that differ; of two under one code and ref the first is compared with the first."""
    was, now = _by_name(before), _by_name(after)
    for name in {**was, **now}:
        if was.get(name) != now.get(name):
            yield LineChange(line_title(name[0], name[1]), was.get(name), now.get(name))


def _by_name(lines: Sequence[Mapping[str, Any]]) -> dict[tuple[str, str, int], Decimal]:
    seen: Counter[tuple[str, str]] = Counter()
    found = {}
    for line in lines:
        name = (line["code"], line["ref"])
        found[*name, seen[name]] = Decimal(line["amount"])
        seen[name] += 1
    return found
