"""Deposits held too long, captures that rest on nothing, refunds, and the tax class of each line."""

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.insight.asking import Asked
from handover.insight.facts import back_at, drill_among
from handover.insight.metrics.charges import code_title, statements_words
from handover.insight.metrics.deposits import holds_left
from handover.insight.results import ZERO, latest
from handover.insight.table import Column, Money, Row, Table
from handover.settlement.models import Movement
from handover.settlement.queries import HELD_TOO_LONG
from handover.settlement.standing import SETTLED
from shared.ledger.models import Entry

Kind = Movement.Kind


def _movements(asked: Asked) -> QuerySet[Movement]:
    return Movement.objects.filter(rental__branch__in=[one.pk for one in asked.branches])


def deposits_to_explain(asked: Asked) -> Table:
    """Holds are looked at whatever their age: what is held from before the period is held too long all the more."""
    holds = _movements(asked).filter(kind=Kind.HELD)
    taken = Movement.objects.filter(asked.due_back("rental__"), kind=Kind.CAPTURED)
    rows = [*_held_long(asked, holds), *_unsettled(asked, taken), *_after_release(asked, taken)]
    many = holds.count() + taken.count()
    return Table(
        title=_("Deposits to explain"),
        definition=_(
            "Holds of which something is left more than %(days)s days after the return; captures for no settled "
            "statement; captures after something of the same hold was released."
        )
        % {"days": HELD_TOO_LONG.days},
        columns=(
            Column("rental", _("Rental"), figures=False), Column("at", _("When"), figures=False),
            Column("amount", _("Amount")), Column("by", _("Who"), figures=False),
            Column("finding", _("Finding"), figures=False),
        ),
        rows=tuple(rows),
        rests_on=many,
        rests_words=ngettext("%(count)s hold or capture", "%(count)s holds and captures", many) % {"count": many},
    )  # fmt: skip


def _held_long(asked: Asked, holds: QuerySet[Movement]) -> Iterator[Row]:
    old = holds_left(holds).annotate(back_at=back_at()).filter(back_at__lt=asked.now - HELD_TOO_LONG)
    for row in old.select_related("rental__branch", "by").order_by("back_at"):
        since = (asked.now - row.back_at).days
        yield _row(asked, row, Decimal(row.left), _("Held %(days)s days after the return") % {"days": since})


def _unsettled(asked: Asked, taken: QuerySet[Movement]) -> Iterator[Row]:
    settled = Entry.objects.filter(subject=OuterRef("statement"), kind=SETTLED)
    for row in taken.filter(~Exists(settled)).select_related("rental__branch", "by").order_by("at"):
        yield _row(asked, row, row.amount, _("Captured for no settled statement"))


def _after_release(asked: Asked, taken: QuerySet[Movement]) -> Iterator[Row]:
    released = Movement.objects.filter(hold=OuterRef("hold"), kind=Kind.RELEASED, at__lt=OuterRef("at"))
    for row in taken.filter(Exists(released)).select_related("rental__branch", "by").order_by("at"):
        yield _row(asked, row, row.amount, _("Captured after a release"))


def _row(asked: Asked, row: Movement, amount: Decimal, finding: str) -> Row:
    at = asked.local(row.at, row.rental.branch_id)
    return Row((row.rental.number, at, Money(amount, row.currency), str(row.by), finding), rental=row.rental_id)


def refunds(asked: Asked) -> Table:
    """Each with the ways in which the customer had paid, and the days since the unit was back."""
    rows = Movement.objects.filter(asked.due_back("rental__"), kind=Kind.REFUNDED).annotate(back_at=back_at())
    found = list(rows.select_related("rental__branch", "by").order_by("at", "id"))
    ways: dict[UUID, set[str]] = defaultdict(set)
    paid = Movement.objects.filter(rental__in={row.rental_id for row in found}, kind__in=[Kind.CAPTURED, Kind.PAID])
    for rental, method in paid.values_list("rental", "method"):
        ways[rental].add(method)
    return Table(
        title=_("Refunds"),
        definition=_("Money that went back, and whether it went the way it had come."),
        columns=(
            Column("rental", _("Rental"), figures=False), Column("at", _("When"), figures=False),
            Column("amount", _("Amount")), Column("method", _("Given back by"), figures=False),
            Column("paid_by", _("Paid by"), figures=False), Column("days", _("Days after the return")),
            Column("by", _("Who"), figures=False), Column("finding", _("Finding"), figures=False),
        ),
        rows=tuple(_refund(asked, row, ways[row.rental_id]) for row in found),
        rests_on=len(found),
        rests_words=ngettext("%(count)s refund", "%(count)s refunds", len(found)) % {"count": len(found)},
        unknown=(
            _("To which card money went is not known: no card number is kept. Within how many days it was promised is "
              "kept nowhere."),
        ),
    )  # fmt: skip


def _refund(asked: Asked, row: Any, ways: set[str]) -> Row:
    names = dict(Movement.Method.choices)
    same = row.method in ways
    finding = _("The way it was paid") if same else _("Another way than it was paid")
    days = (row.at - row.back_at).days if row.back_at else None
    paid = ", ".join(str(names[way]) for way in sorted(ways)) or _("nothing paid")
    return Row(
        (row.rental.number, asked.local(row.at, row.rental.branch_id), Money(row.amount, row.currency),
         str(names[row.method]), paid, days, str(row.by), finding),
        rental=row.rental_id,
    )  # fmt: skip


def tax_classes(asked: Asked) -> Table:
    """By branch and kind of line; a kind with two classes at one branch stands out by standing twice."""
    sums: dict[tuple[str, str, str, str], list[Decimal]] = defaultdict(lambda: [ZERO, ZERO, ZERO])
    members: dict[str, set[UUID]] = defaultdict(set)
    names = {one.pk: one.name for one in asked.branches}
    for result in latest(asked):
        for line in result.lines:
            key = (names[result.branch], line.code, line.tax_code, result.currency)
            for place, amount in enumerate((Decimal(1), line.amount, line.tax)):
                sums[key][place] += amount
            members[" ".join(key)].add(result.rental)
    return Table(
        title=_("Tax class of each kind of line"),
        definition=_(
            "By the latest statements. A line outside the scope of tax is on the branch’s list, which is copied into "
            "the rental at pickup. Tax that is rounded on a sum stands in no line. A kind of line with two classes at "
            "one branch stands here twice."
        ),
        columns=(
            Column("branch", _("Branch"), figures=False), Column("line", _("Kind of line"), figures=False),
            Column("code", _("Code"), figures=False), Column("tax_class", _("Tax class"), figures=False),
            Column("lines", _("How many")), Column("amount", _("Amount")), Column("tax", _("Tax")),
        ),
        rows=tuple(
            Row((branch, code_title(code), code, tax_class.replace("_", " "), int(many), Money(amount, currency),
                 Money(tax, currency)), key=" ".join((branch, code, tax_class, currency)))
            for (branch, code, tax_class, currency), (many, amount, tax) in sorted(sums.items())
        ),
        rests_on=len(latest(asked)),
        rests_words=statements_words(len(latest(asked))),
        drill=drill_among(members),
    )  # fmt: skip
