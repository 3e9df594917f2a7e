"""Readings: gauges against pump receipts, corrections, and the answers of two tablets that did not agree."""

from decimal import Decimal
from typing import Any

from django.db.models import Avg, CharField, Count, DecimalField, F, OuterRef, QuerySet, StdDev, Subquery, Value
from django.db.models.functions import Cast, Coalesce, Concat
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from consumables.models import Fill
from fleet.models import UnitInstrument
from handover.counter.models import Correction
from handover.insight.asking import Asked
from handover.insight.facts import drill_by, person
from handover.insight.metrics.charges import rentals_words
from handover.insight.table import Column, Drawing, Row, Span, Table, per

LITRES = DecimalField(max_digits=12, decimal_places=3)
TENTH = Decimal("0.1")
TOO_FEW = 5


def gauge_against_pump(asked: Asked) -> Table:
    """By unit and tank: litres by the gauge, taken as straight, less litres of the receipt."""
    facts = _fills(asked)
    rows = facts.order_by().values("group", "unit__number", "instrument__name", "instrument__code").annotate(
        many=Count("pk"), mean=Avg("off"), spread=StdDev("off", sample=True)
    )  # fmt: skip
    found = list(rows.order_by("-many", "unit__number"))
    count = sum(row["many"] for row in found)
    return Table(
        title=_("Gauge against pump"),
        definition=_(
            "Litres between two readings of the gauge, as a straight line, less the litres of the receipt: the mean "
            "says how far a gauge is off, the standard deviation how much it wavers."
        ),
        columns=(
            Column("unit", _("Unit"), figures=False), Column("tank", _("Tank"), figures=False),
            Column("receipts", _("Receipts")), Column("mean_l", _("Mean difference, litres")),
            Column("sd_l", _("Standard deviation, litres")),
        ),
        rows=tuple(
            Row((row["unit__number"], row["instrument__name"], row["many"], _tenth(row["mean"]), _tenth(row["spread"])),
                key=row["group"])
            for row in found
        ),
        rests_on=count,
        rests_words=ngettext("%(count)s receipt", "%(count)s receipts", count) % {"count": count},
        unknown=(
            _("Receipts of gas state money and no kilograms: gas cannot be compared."),
            _("Fewer than %(few)s receipts of a tank say little and are not drawn. A receipt that no turnaround job "
              "brought has no rental; the page of the tank shows it.") % {"few": TOO_FEW},
        ),
        drawing=Drawing(
            _("Standard deviation, litres"),
            tuple(Span(f"{row['unit__number']} {row['instrument__name']}", float(row["spread"]))
                  for row in found if row["many"] >= TOO_FEW and row["spread"] is not None),
        ),
        drill=drill_by(facts, "job__walk__leg__rental_id"),
    )  # fmt: skip


def _fills(asked: Asked) -> QuerySet[Any]:
    """By when it was filled: a receipt belongs to a unit and seldom to a rental."""
    own = UnitInstrument.objects.filter(unit=OuterRef("unit"), instrument=OuterRef("instrument")).values("capacity")[:1]
    fills = Fill.objects.filter(asked.within("at", branch="unit__branch"), instrument__capacity__isnull=False)
    full = Coalesce(Subquery(own), F("instrument__capacity"), output_field=LITRES)
    by_gauge = Cast((F("after") - F("before")) * full, LITRES)
    return fills.annotate(
        off=by_gauge - F("litres"),
        group=Concat(F("unit__number"), Value(" "), F("instrument__code"), output_field=CharField()),
    )


def _tenth(value: float | Decimal | None) -> Decimal | None:
    return None if value is None else Decimal(str(value)).quantize(TENTH)


def corrections(asked: Asked) -> Table:
    facts = Correction.objects.filter(asked.due_back("rental__")).annotate(group=F("by"), label=person("by"))
    rows = facts.order_by().values("group", "label").annotate(many=Count("pk"), rentals=Count("rental", distinct=True))
    out = asked.many_rentals
    return Table(
        title=_("Corrections"),
        definition=_("Readings put right afterwards, by who did it. Each keeps what it was and the reason."),
        columns=(
            Column("by", _("Corrected by"), figures=False), Column("corrections", _("Corrections")),
            Column("rentals", _("Rentals")), Column("per_100", _("Per 100 rentals")),
        ),
        rows=tuple(
            Row((row["label"], row["many"], row["rentals"], per(row["many"], out, 100)), key=str(row["group"]))
            for row in rows.order_by("-many", "label")
        ),
        rests_on=out,
        rests_words=rentals_words(out),
        drill=drill_by(facts, "rental_id"),
    )  # fmt: skip
