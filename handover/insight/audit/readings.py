"""Every change of a reading: what it was, what it is, who, when and why."""

from collections.abc import Iterator
from typing import Any

from django.db.models import Exists, F, OuterRef, Q, Window
from django.db.models.functions import Lag
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.counter.models import Correction, Refill
from handover.insight.asking import Asked
from handover.insight.facts import person
from handover.insight.table import Column, Row, Table
from handover.walkround.models import Reading

COUNTED = ("item__name", "item__unit", "walk__leg__rental__branch", "walk__leg__rental__number")


def reading_changes(asked: Asked) -> Table:
    """Corrections at the desk, and later answers on the walk-round itself. Nothing was overwritten."""
    whole = Reading.objects.filter(asked.due_back("walk__leg__rental__")).count()
    rows = sorted([*_corrected(asked), *_answered_again(asked)], key=lambda row: str(row.cells[:2]))
    return Table(
        title=_("Changes of readings"),
        definition=_("Corrections with their evidence, and levels that were read again on the same walk-round."),
        columns=(
            Column("rental", _("Rental"), figures=False), Column("at", _("When"), figures=False),
            Column("instrument", _("Instrument"), figures=False), Column("before", _("Read before")),
            Column("after", _("Read after")), Column("unit", _("Measured in"), figures=False),
            Column("by", _("Who"), figures=False), Column("why", _("Why"), figures=False),
        ),
        rows=tuple(rows),
        rests_on=whole,
        rests_words=ngettext("%(count)s reading", "%(count)s readings", whole) % {"count": whole},
        unknown=(_("What a host changed on the tablet before it was sent is not known."),),
    )  # fmt: skip


def _corrected(asked: Asked) -> Iterator[Row]:
    rows = Correction.objects.filter(asked.due_back("rental__")).annotate(who=person("by"))
    for row in rows.select_related("reading__item", "rental"):
        item = row.reading.item
        yield Row(
            (row.rental.number, asked.local(row.at, row.rental.branch_id), item.name, row.was.normalize() + 0,
             row.value.normalize() + 0, item.unit, row.who, _("Corrected: %(words)s") % {"words": row.words}),
            rental=row.rental_id,
        )  # fmt: skip


def _answered_again(asked: Asked) -> Iterator[Row]:
    before: Any = Window(Lag("value"), partition_by=[F("walk"), F("item")], order_by=[F("at").asc(), F("id").asc()])
    rows = Reading.objects.filter(asked.due_back("walk__leg__rental__")).annotate(
        before=before, who=person("by"), pumped=Exists(Refill.objects.filter(reading=OuterRef("pk")))
    )  # fmt: skip
    changed = rows.filter(before__isnull=False).filter(~Q(value=F("before")) | Q(value=None))
    fields = ("value", "before", "at", "who", "pumped", "walk__leg__rental", *COUNTED)
    for row in changed.order_by("at").values(*fields):
        why = _("Filled up and read again") if row["pumped"] else _("Answered again on the walk-round")
        yield Row(
            (row["walk__leg__rental__number"], asked.local(row["at"], row["walk__leg__rental__branch"]),
             row["item__name"], row["before"].normalize() + 0,
             None if row["value"] is None else row["value"].normalize() + 0,
             row["item__unit"], row["who"], why),
            rental=row["walk__leg__rental"],
        )  # fmt: skip
