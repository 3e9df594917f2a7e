"""Gaps in the numbers of rentals and disputes, and in the versions of statements and records."""

from collections.abc import Iterator
from datetime import date
from typing import Any
from uuid import UUID

from django.db.models import Count, F, IntegerField, Max, Min, Q, QuerySet, Value, Window
from django.db.models.functions import Cast, Concat, Lag, StrIndex, Substr
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.dispute.models import Dispute
from handover.insight.asking import Asked
from handover.insight.table import Column, Row, Table
from handover.record.models import Record
from handover.rental.models import Rental
from handover.statement.models import Statement


def numbering_gaps(asked: Asked) -> Table:
    """Series of numbers are looked at whole: a number is taken at booking, months before the return."""
    branches = {one.pk: one for one in asked.branches}
    rentals = _rental_numbers(asked)
    disputes = Dispute.objects.filter(rental__branch__in=branches).annotate(of=F("rental__branch"), place=F("number"))
    rows = [
        Row((branches[of].name, _("Rentals"), f"{branches[of].prefix}-{first}", f"{branches[of].prefix}-{last}",
             last - first + 1))
        for of, first, last in _gaps(rentals)
    ]  # fmt: skip
    rows += [Row((branches[of].name, _("Disputes"), str(first), str(last), last - first + 1))
             for of, first, last in _gaps(disputes)]  # fmt: skip
    versions = [*_versions(asked)]
    looked_at = rentals.count() + disputes.count() + sum(many for _row, many in versions)
    return Table(
        title=_("Gaps in numbering"),
        definition=_(
            "Numbers of rentals and disputes of a branch count up by one: each run of missing numbers stands here. "
            "Versions of statements and of records count from 1 in each rental: a series that lacks one stands here "
            "as a whole."
        ),
        columns=(
            Column("branch", _("Branch"), figures=False), Column("series", _("Series"), figures=False),
            Column("first", _("From number"), figures=False), Column("last", _("To number"), figures=False),
            Column("missing", _("How many are missing")),
        ),
        rows=(*rows, *(row for row, _many in versions if row)),
        rests_on=looked_at,
        rests_words=ngettext("%(count)s number", "%(count)s numbers", looked_at) % {"count": looked_at},
        unknown=(_("Numbers of another form than the branch’s, such as those of an import, are of no series here."),),
    )  # fmt: skip


def _rental_numbers(asked: Asked) -> QuerySet[Any]:
    """Those of the branch's own form, LK-20418, with the part behind the prefix."""
    rows = Rental.objects.filter(
        branch__in=[one.pk for one in asked.branches], number__regex=r"^[A-Z]{2,4}-[0-9]{1,9}$",
        number__startswith=Concat(F("branch__prefix"), Value("-")),
    )  # fmt: skip
    behind = Substr("number", StrIndex("number", Value("-")) + 1)
    return rows.annotate(of=F("branch"), place=Cast(behind, IntegerField()))


def _gaps(numbers: QuerySet[Any]) -> Iterator[tuple[UUID, int, int]]:
    """By branch the first and the last of each run of numbers that are missing. One query."""
    before = Window(Lag("place"), partition_by=F("of"), order_by=F("place").asc())
    rows = numbers.order_by().annotate(before=before, jump=F("place") - F("before")).filter(jump__gt=1)
    for of, place, before_it in rows.values_list("of", "place", "before").order_by("of", "place"):
        yield of, before_it + 1, place - 1


def _versions(asked: Asked) -> Iterator[tuple[Row | None, int]]:
    """Each series of versions as a row where one is missing, and over how many it counts."""
    for title, rows, by in (
        (_("Statements"), Statement.objects.all(), ("rental",)),
        (_("Records"), Record.objects.all(), ("rental", "kind")),
    ):
        found = rows.filter(asked.due_back("rental__")).order_by().values(*by)
        counted = found.annotate(many=Count("pk"), last=Max("version"), first=Min("version"))
        yield None, rows.filter(asked.due_back("rental__")).count()
        broken = counted.filter(~Q(many=F("last")) | ~Q(first=1))
        for row in broken.values("rental", "rental__number", "rental__branch__name", "many", "last"):
            cells = (row["rental__branch__name"], f"{title}, {row['rental__number']}", "1", str(row["last"]),
                     row["last"] - row["many"])  # fmt: skip
            yield Row(cells, rental=row["rental"]), 0


def terms_kept(asked: Asked) -> Table:
    """Which rate card each customer signed, and the record that is sealed over it."""
    record = Record.objects.filter(kind=Record.Kind.PICKUP, state=Record.State.READY)
    digests = dict(record.filter(asked.due_back("rental__")).order_by("version").values_list("rental", "pdf_sha256"))
    rows = asked.rentals.filter(frozen_at__isnull=False).order_by("number").values_list(
        "pk", "number", "branch", "frozen_at", "frozen__rate_card__number", "frozen__rate_card__valid_from"
    )  # fmt: skip
    found = [
        Row((number, card, _day(since), asked.local(at, branch) if at else None, digests.get(pk)), rental=pk)
        for pk, number, branch, at, card, since in rows
    ]
    return Table(
        title=_("Terms that were signed"),
        definition=_(
            "The rate card that was copied into the rental when the pickup was signed, and the digest of the sealed "
            "record. The Ledger states the digest of both; a published rate card cannot be changed."
        ),
        columns=(
            Column("rental", _("Rental"), figures=False), Column("rate_card", _("Rate card")),
            Column("valid_from", _("Valid from"), figures=False), Column("signed_at", _("Signed"), figures=False),
            Column("record_sha256", _("Record, SHA-256"), figures=False),
        ),
        rows=tuple(found),
        rests_on=len(found),
        rests_words=ngettext("%(count)s rental", "%(count)s rentals", len(found)) % {"count": len(found)},
    )  # fmt: skip


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None
