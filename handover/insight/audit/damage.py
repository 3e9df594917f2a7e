"""Damage that was charged: repaired or not, by which price, and whether a mark was charged twice."""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.damage.models import RepairPrice
from handover.insight.asking import Asked
from handover.insight.table import Cell, Column, Money, Row, Table
from handover.rental.models import Rental
from handover.statement.models import Statement
from handover.statement.queries import latest_versions
from handover.walkround.models import Mark, MarkFinding
from shared.clock import local


@dataclass(frozen=True, slots=True)
class Charged:
    """A mark with what is due for it by the latest statement of a rental."""

    mark: UUID
    rental: Rental
    due: Decimal


def charged_in(rentals: QuerySet[Rental]) -> list[Charged]:
    """One query. The statement's inputs name the row of each mark."""
    rows = latest_versions().filter(rental__in=rentals, result__contains='"code":"DAMAGE"')
    rows = rows.select_related("rental__branch").order_by("rental__number")
    return [one for row in rows.iterator(chunk_size=200) for one in _charged(row)]


def _charged(statement: Statement) -> Iterator[Charged]:
    inputs = json.loads(statement.inputs)
    marks = {
        item["ref"]: inputs["sources"].get(f"events[{number}].items[{place}].size_mm", {}).get("answer")
        for number, event in enumerate(inputs.get("events", []))
        for place, item in enumerate(event["items"])
        if "ref" in item
    }
    for line in json.loads(statement.result)["lines"]:
        mark = marks.get(line["ref"]) if line["code"] == "DAMAGE" else None
        if mark and Decimal(line["amount"]) > 0:
            yield Charged(UUID(mark), statement.rental, Decimal(line["amount"]))


def damage_not_repaired(asked: Asked) -> Table:
    """Also where an invoice came to less than the estimate that was charged."""
    charged = charged_in(asked.rentals)
    marks = Mark.objects.select_related("unit").in_bulk([one.mark for one in charged])
    prices = {
        (row.rental_id, row.mark_id, row.basis): row.amount
        for row in RepairPrice.objects.filter(asked.due_back("rental__")).order_by("at", "id")
    }
    rows = [row for one in charged if one.mark in marks for row in _unrepaired(asked, one, marks[one.mark], prices)]
    return Table(
        title=_("Damage charged and not repaired"),
        definition=_(
            "Marks that a customer pays for by the latest statement and that are not repaired today, with estimate and "
            "invoice; and repaired ones whose price still rests on an estimate."
        ),
        columns=(
            Column("rental", _("Rental"), figures=False), Column("unit", _("Unit"), figures=False),
            Column("mark", _("Mark"), figures=False), Column("due", _("Charged")),
            Column("estimate", _("Estimate")), Column("invoice", _("Invoice")),
            Column("days", _("Days since it was found")), Column("finding", _("Finding"), figures=False),
        ),
        rows=tuple(rows),
        rests_on=len(charged),
        rests_words=marks_charged(len(charged)),
        unknown=(_("A repair nobody closed as a turnaround job is not known to be done."),),
    )  # fmt: skip


def marks_charged(count: int) -> str:
    return ngettext("%(count)s mark charged", "%(count)s marks charged", count) % {"count": count}


def _unrepaired(asked: Asked, one: Charged, mark: Mark, prices: dict[tuple[UUID, UUID, str], Decimal]) -> Iterator[Row]:
    estimate, invoice = (prices.get((one.rental.pk, mark.pk, basis)) for basis in RepairPrice.Basis.values)
    wrong = _("Charged and not repaired") if mark.repaired_at is None else ""
    if not wrong and invoice is None:
        wrong = _("Repaired, and no invoice is kept")
    if wrong:
        found = local(mark.found_at, one.rental.branch.zone).date()
        currency = one.rental.currency
        yield Row(
            (one.rental.number, mark.unit.number, str(mark), Money(one.due, currency), _money(estimate, currency),
             _money(invoice, currency), (asked.today - found).days, wrong),
            rental=one.rental.pk,
        )  # fmt: skip


def _money(amount: Decimal | None, currency: str) -> Cell:
    return _("none") if amount is None else Money(amount, currency)


def marks_charged_twice(asked: Asked) -> Table:
    """Marks of the period that another rental, of any time, also pays for."""
    charged = charged_in(asked.rentals)
    others = charged_in(_touching({one.mark for one in charged}, asked))
    by_mark: dict[UUID, dict[UUID, Charged]] = defaultdict(dict)
    for one in (*charged, *others):
        by_mark[one.mark][one.rental.pk] = one
    twice = {mark: some for mark, some in by_mark.items() if len(some) > 1}
    marks = Mark.objects.select_related("unit").in_bulk(list(twice))
    rows = [
        Row((marks[mark].unit.number, str(marks[mark]), one.rental.number, Money(one.due, one.rental.currency)),
            rental=one.rental.pk)
        for mark, some in twice.items()
        for one in sorted(some.values(), key=lambda one: one.rental.number)
    ]  # fmt: skip
    return Table(
        title=_("One mark charged twice"),
        definition=_("The same mark on the statements of two rentals. Where a mark has grown, the growth may be "
                     "charged, once each time."),
        columns=(
            Column("unit", _("Unit"), figures=False), Column("mark", _("Mark"), figures=False),
            Column("rental", _("Rental"), figures=False), Column("due", _("Charged")),
        ),
        rows=tuple(rows),
        rests_on=len(charged),
        rests_words=marks_charged(len(charged)),
    )  # fmt: skip


def _touching(marks: Iterable[UUID], asked: Asked) -> QuerySet[Rental]:
    """Rentals of these branches on whose return one of the marks was found, or found grown, or priced."""
    known = list(marks)
    grown = MarkFinding.objects.filter(mark__in=known, word=MarkFinding.Word.WORSE).values("walk__leg__rental")
    found = Mark.objects.filter(pk__in=known, found_on__isnull=False).values("found_on__leg__rental")
    priced = RepairPrice.objects.filter(mark__in=known).values("rental")
    among = Q(pk__in=grown) | Q(pk__in=found) | Q(pk__in=priced)
    return Rental.objects.filter(among, branch__in=[one.pk for one in asked.branches])
