"""Deposits: how long until they are released, and holds that lapsed unnoticed."""

from decimal import Decimal
from typing import Any

from django.db.models import Count, DurationField, ExpressionWrapper, F, OuterRef, QuerySet, Subquery, Sum, Value
from django.db.models.functions import Coalesce
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.insight.asking import Asked
from handover.insight.facts import back_at, days, drill_by
from handover.insight.metrics.ranked import Ranked, quantile_table
from handover.insight.table import Column, Money, Row, Table
from handover.settlement.models import Movement
from handover.settlement.queries import AMOUNT, NOTHING


def release_days(asked: Asked) -> Table:
    released = Movement.objects.filter(asked.due_back("rental__"), kind=Movement.Kind.RELEASED)
    facts = released.annotate(back_at=back_at()).filter(at__gte=F("back_at")).annotate(
        group=F("rental__branch"), label=F("rental__branch__name"),
        value=ExpressionWrapper(F("at") - F("back_at"), output_field=DurationField()),
    )  # fmt: skip
    columns = (
        Column("branch", _("Branch"), figures=False), Column("releases", _("Releases")),
        Column("median_days", _("Half within, days")), Column("p90_days", _("Nine of ten within, days")),
    )  # fmt: skip
    definition = _("From the return to the release, for every part of a hold that was released after it.")
    axis = _("Days within which half were released, and nine of ten")
    told = Ranked(_("Days until a deposit is released"), definition, columns, days, _releases, axis=axis)
    return quantile_table(facts, told, rental="rental_id")


def _releases(count: int) -> str:
    return ngettext("%(count)s release", "%(count)s releases", count) % {"count": count}


def holds_left(holds: QuerySet[Movement]) -> QuerySet[Any]:
    """Holds of which something is neither captured nor released, with how much."""
    taken = Movement.objects.filter(hold=OuterRef("pk")).order_by().values("hold").annotate(all=Sum("amount"))
    spent = Coalesce(Subquery(taken.values("all")), Value(Decimal(0)), output_field=AMOUNT)
    rows = holds.filter(kind=Movement.Kind.HELD).annotate(left=F("amount") - spent)
    return rows.filter(left__gt=NOTHING)


def expired_holds(asked: Asked) -> Table:
    holds = Movement.objects.filter(asked.due_back("rental__"), kind=Movement.Kind.HELD)
    facts = holds_left(holds).filter(expires_on__lt=asked.today).annotate(group=F("currency"))
    rows = facts.order_by().values("group").annotate(many=Count("pk"), worth=Sum("left")).order_by("group")
    whole = holds.count()
    return Table(
        title=_("Holds that lapsed"),
        definition=_("Holds whose last day to capture has passed with something neither captured nor released."),
        columns=(
            Column("currency", _("Currency"), figures=False), Column("holds", _("Holds")),
            Column("worth", _("Left of them")),
        ),
        rows=tuple(
            Row((row["group"], row["many"], Money(Decimal(row["worth"]), row["group"])),
            key=row["group"]) for row in rows
        ),
        rests_on=whole,
        rests_words=ngettext("%(count)s hold", "%(count)s holds", whole) % {"count": whole},
        drill=drill_by(facts, "rental_id"),
    )  # fmt: skip
