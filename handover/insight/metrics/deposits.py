"""Deposits: how long until they are released, and holds that lapsed unnoticed."""

from decimal import Decimal
from typing import Any

from django.db.models import (
    Count,
    DecimalField,
    DurationField,
    ExpressionWrapper,
    F,
    OuterRef,
    QuerySet,
    Subquery,
    Sum,
    Value,
)
from django.db.models.functions import Coalesce
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.insight.asking import Asked
from handover.insight.facts import days, drill_by
from handover.insight.quantiles import quantiles
from handover.insight.table import Column, Drawing, Money, Row, Span, Table
from handover.rental.models import Leg
from handover.settlement.models import Movement

AMOUNT = DecimalField(max_digits=14, decimal_places=3)
# Sums in SQLite carry the noise of their last digit; half of the smallest unit of any currency is nothing.
NOTHING = Decimal("0.0005")


def release_days(asked: Asked) -> Table:
    ended = Leg.objects.filter(rental=OuterRef("rental"), ended_by=Leg.EndedBy.RETURN).order_by("-number")
    released = Movement.objects.filter(asked.due_back("rental__"), kind=Movement.Kind.RELEASED)
    facts = released.annotate(back_at=Subquery(ended.values("ended_at")[:1])).filter(at__gte=F("back_at"))
    facts = facts.annotate(
        group=F("rental__branch"), label=F("rental__branch__name"),
        value=ExpressionWrapper(F("at") - F("back_at"), output_field=DurationField()),
    )  # fmt: skip
    found = quantiles(facts, (50, 90))
    count = sum(one.many for one in found)
    return Table(
        title=_("Days until a deposit is released"),
        definition=_("From the return to the release, for every part of a hold that was released after it."),
        columns=(
            Column("branch", _("Branch"), figures=False), Column("releases", _("Releases")),
            Column("median_days", _("Median, days")), Column("p90_days", _("Nine of ten within, days")),
        ),
        rows=tuple(Row((one.label, one.many, days(one.at[50]), days(one.at[90])), key=str(one.group)) for one in found),
        rests_on=count,
        rests_words=ngettext("%(count)s release", "%(count)s releases", count) % {"count": count},
        drawing=Drawing(
            _("Days: median, and to where nine of ten lie"),
            tuple(Span(one.label, float(days(one.at[50])), float(days(one.at[50])), float(days(one.at[90])))
                  for one in found),
        ),
        drill=drill_by(facts, "rental_id"),
    )  # fmt: skip


def holds_left(holds: "QuerySet[Movement]") -> "QuerySet[Any]":
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
            Column("currency", _("Currency"), figures=False), Column("holds", _("Holds")), Column("worth", _("Worth")),
        ),
        rows=tuple(
            Row((row["group"], row["many"], Money(Decimal(row["worth"]), row["group"])),
            key=row["group"]) for row in rows
        ),
        rests_on=whole,
        rests_words=ngettext("%(count)s hold", "%(count)s holds", whole) % {"count": whole},
        drill=drill_by(facts, "rental_id"),
    )  # fmt: skip
