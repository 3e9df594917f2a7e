"""What the counter adds to the statement's page: what could still be saved, what was said, the versions before."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext as _

from handover.counter.models import Objection, Reopening
from handover.counter.what_if import WhatIf, what_ifs
from handover.record.models import Record
from handover.rental.models import Rental
from handover.statement.lines import LineRow
from handover.statement.models import Statement
from handover.statement.queries import StatementPage
from handover.statement.words import line_title
from shared import phrasebook
from shared.access.models import Person
from shared.access.roles import Right
from shared.money import money_text
from shared.phrasebook import inside


@dataclass(frozen=True, slots=True)
class Offer:
    """Something to do first, and what it saves. `href` leads to where it is done."""

    heading: str
    sentence: str
    button: str
    href: str


@dataclass(frozen=True, slots=True)
class Said:
    """An objection as it stands now."""

    objection: Objection
    words: str
    stands: str


@dataclass(frozen=True, slots=True)
class Version:
    statement: Statement
    record: Record | None


@dataclass(frozen=True, slots=True)
class Panel:
    """`lines` pairs each line with what the customer says against it; `elsewhere` is said of lines not on it now.

    `versions` are those that were settled and the latest, `drafts` the others; `difference` is of a reopened one.
    """

    lines: Sequence[tuple[LineRow, Sequence[Said]]] = ()
    elsewhere: Sequence[Said] = ()
    offers: Sequence[Offer] = ()
    lapsed: Sequence[str] = ()
    versions: Sequence[Version] = ()
    drafts: Sequence[Version] = ()
    reopening: Reopening | None = None
    difference: str = ""
    may_decide: bool = False
    may_reopen: bool = False
    may_credit: bool = False
    has_damages: bool = False
    may_contest: bool = False


def panel_of(page: StatementPage, person: Person) -> Panel:
    """Four queries. An earlier version is shown as it was: nothing is offered there."""
    rental, statement = page.rental, page.statement
    if statement is None:
        return Panel()
    inputs, result = json.loads(statement.inputs), json.loads(statement.result)
    said, versions = _said(rental), _versions(rental)
    on_it = {(line.code, line.ref) for line in page.lines}
    may_decide = page.is_latest and rental.state == Rental.State.BACK and person.may(Right.SETTLE)
    return Panel(
        lines=[(line, said.get((line.code, line.ref), [])) for line in page.lines],
        elsewhere=[row for of_line, rows in said.items() if of_line not in on_it for row in rows],
        offers=[*_offers(rental, page.lines, inputs)] if may_decide else [],
        lapsed=[f"{line_title('WAIVER', row['ref'])}: {phrasebook.said(row['sentence'])}" for row in result["lapsed"]],
        versions=[row for row in versions if row.record or row == versions[-1]],
        drafts=[row for row in versions[:-1] if not row.record],
        reopening=Reopening.objects.filter(rental=rental, statement__version__lt=statement.version).last(),
        difference=_difference(rental, inputs, result["totals"]),
        may_decide=may_decide,
        may_reopen=page.is_latest and rental.state == Rental.State.SETTLED and person.may(Right.REOPEN),
        may_credit=page.is_latest and rental.state == Rental.State.BACK and person.may(Right.WAIVE),
        has_damages=bool(inputs.get("events")),
        may_contest=page.is_latest and person.may(Right.SETTLE),
    )


def _said(rental: Rental) -> dict[tuple[str, str], list[Said]]:
    rows: dict[tuple[str, str], list[Said]] = {}
    for row in Objection.objects.filter(rental=rental).prefetch_related("outcomes"):
        outcomes = list(row.outcomes.all())
        stands = outcomes[-1].get_outcome_display() if outcomes else _("open")
        rows.setdefault((row.code, row.ref), []).append(Said(row, row.words, inside(stands)))
    return rows


def _versions(rental: Rental) -> list[Version]:
    records = {row.statement_id: row for row in Record.objects.filter(rental=rental, kind=Record.Kind.RETURN)}
    rows = rental.statements.defer("inputs", "result").order_by("version")
    return [Version(row, records.get(row.pk)) for row in rows]


def _difference(rental: Rental, inputs: Mapping[str, Any], totals: Mapping[str, str]) -> str:
    """Version 1 came to £121.67; the difference is − £18.63."""
    before = inputs.get("previous_settlement")
    if before is None:
        return ""
    came_to = money_text(Decimal(before["total"]), rental.currency)
    difference = money_text(Decimal(totals["delta"]), rental.currency)
    return _("Version %(version)s came to %(came_to)s; the difference is %(difference)s.") % {
        "version": before["version"],
        "came_to": came_to,
        "difference": difference,
    }


def _offers(rental: Rental, lines: Sequence[LineRow], inputs: Mapping[str, Any]) -> Iterator[Offer]:
    for found in what_ifs(inputs):
        saves = _("Save %(saving)s") % {"saving": money_text(found.saving, rental.currency)}
        heading, sentence = _words(found, lines)
        yield Offer(heading, sentence, saves, _where(found, rental.pk))


def _words(found: WhatIf, lines: Sequence[LineRow]) -> tuple[str, str]:
    line = next((row for row in lines if row.ref == found.ref and row.code in LINE_OF.get(found.kind, ())), None)
    then = _("line %(line)s falls") % {"line": line.number} if line else _("the total falls")
    if found.kind == "refuel":
        return _("Fill up first?"), _("%(quantity)s L at the yard pump, then read again: %(then)s.") % {
            "quantity": found.quantity,
            "then": then,
        }
    if found.kind == "bring_back":
        return _("%(thing)s found?") % {"thing": found.subject}, _(
            "Bring it back and have it counted again: %(then)s."
        ) % {"then": then}
    if found.kind == "cylinder":
        return _("Cylinder still there?"), _("Bring back %(subject)s: %(then)s.") % {
            "subject": found.subject,
            "then": then,
        }
    return _("One event or several?"), _("With the damages %(subject)s, if that is how it was, %(then)s.") % {
        "subject": found.subject,
        "then": then,
    }


LINE_OF = {"refuel": ("FUEL",), "bring_back": ("EQUIPMENT",), "cylinder": ("CYLINDER",)}


def _where(found: WhatIf, rental: UUID) -> str:
    names = {"refuel": "read-again", "grouping": "damages"}
    return reverse(names.get(found.kind, "found"), args=[rental])
