"""Damages found: how many for how much use, by part, layout and host, and where they were found."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import (
    Case,
    CharField,
    Count,
    DurationField,
    F,
    Max,
    Min,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Sum,
    Value,
    When,
)
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from fleet.models import Instrument
from handover.insight.asking import Asked
from handover.insight.facts import days, drill_by, person
from handover.insight.table import Column, Row, Table, per, share
from handover.rental.models import Leg
from handover.walkround.models import Mark, Reading, WalkRound

OF_RETURN = "found_on__leg__rental__"
PART_NAMES = dict(Mark._meta.get_field("part").flatchoices)


@dataclass(frozen=True, slots=True)
class Use:
    """Days and kilometres of the legs that ended; km rest on the legs whose odometer was read at both ends."""

    days: Decimal
    km: Decimal


def found_at_return(asked: Asked) -> QuerySet[Mark]:
    return Mark.objects.filter(asked.due_back(OF_RETURN), found_on__kind=WalkRound.Kind.RETURN)


def damage_by_part(asked: Asked) -> Table:
    facts = found_at_return(asked).annotate(group=F("part"))
    used = _use(asked).get("", NO_USE)
    rows = facts.order_by().values("group").annotate(many=Count("pk")).order_by("-many", "group")
    return _table(
        asked, facts, _("Damage by part"), _("Part"),
        [(row["group"], str(PART_NAMES.get(row["group"], row["group"])), row["many"], used) for row in rows],
    )  # fmt: skip


def damage_by_layout(asked: Asked) -> Table:
    facts = found_at_return(asked).annotate(group=F("unit__layout"))
    used = _use(asked, "unit__layout")
    rows = facts.order_by().values("group", "unit__layout__name").annotate(many=Count("pk")).order_by("-many")
    return _table(
        asked, facts, _("Damage by layout"), _("Layout"),
        [(str(row["group"]), row["unit__layout__name"], row["many"], used.get(row["group"], NO_USE)) for row in rows],
    )  # fmt: skip


def damage_by_host(asked: Asked) -> Table:
    """By who handed the unit over: a host whose units often come back damaged may pass over marks at pickup."""
    host = WalkRound.objects.filter(leg=OuterRef("found_on__leg"), kind=WalkRound.Kind.PICKUP)
    facts = found_at_return(asked).annotate(
        group=Subquery(host.values("finished_by")[:1]),
        label=Subquery(host.annotate(name=person("finished_by")).values("name")[:1]),
    )
    used = _use(asked, "host")
    rows = facts.filter(group__isnull=False).order_by().values("group", "label")
    return _table(
        asked, facts, _("Damage by host at pickup"), _("Handed over by"),
        [(str(row["group"]), row["label"], row["many"], used.get(row["group"], NO_USE))
         for row in rows.annotate(many=Count("pk")).order_by("-many")],
    )  # fmt: skip


NO_USE = Use(Decimal(0), Decimal(0))


def _use(asked: Asked, group: str = "") -> dict[Any, Use]:
    """By group, or all together under "". Two queries, summed by the database."""
    legs = Leg.objects.filter(asked.due_back("rental__"), ended_at__isnull=False, started_at__isnull=False)
    host = WalkRound.objects.filter(leg=OuterRef("pk"), kind=WalkRound.Kind.PICKUP).values("finished_by")[:1]
    key: Any = {"": Value("", output_field=CharField()), "host": Subquery(host)}.get(group) or F(group)
    grouped: QuerySet[Any] = legs.annotate(group=key, took=F("ended_at") - F("started_at"), driven=_driven())
    rows = grouped.order_by().values("group").annotate(
        lasted=Sum("took", output_field=DurationField()), km=Sum("driven")
    )  # fmt: skip
    return {
        row["group"]: Use(days(row["lasted"]), Decimal(row["km"] or 0).quantize(Decimal(1)))
        for row in rows
        if row["lasted"]
    }


def _driven() -> Any:
    """Of a leg: the highest odometer at return less the lowest at pickup; null where one is missing."""
    read = Reading.objects.filter(
        walk__leg=OuterRef("pk"), item__measures=Instrument.Measures.ODOMETER, state=Reading.State.READ
    ).order_by()
    out = read.filter(walk__kind=WalkRound.Kind.PICKUP).values("walk__leg").annotate(km=Min("value")).values("km")
    back = read.filter(walk__kind=WalkRound.Kind.RETURN).values("walk__leg").annotate(km=Max("value")).values("km")
    return Subquery(back) - Subquery(out)


def _table(
    asked: Asked, facts: QuerySet[Any], title: str, heading: str, found: Iterable[tuple[str, str, int, Use]]
) -> Table:
    rows = tuple(
        Row((label, many, used.days, per(many, used.days, 1000), used.km, per(many, used.km, 10_000)), key=key)
        for key, label, many, used in found
    )
    count = sum(int(str(row.cells[1])) for row in rows)
    return Table(
        title=title,
        definition=_("Marks that a return found new, for each 1,000 days and each 10,000 km that the units were out."),
        columns=(
            Column("of", heading, figures=False), Column("marks", _("Marks")), Column("days", _("Days out")),
            Column("per_1000_days", _("Per 1,000 days")), Column("km", _("Driven, km")),
            Column("per_10000_km", _("Per 10,000 km")),
        ),
        rows=rows,
        rests_on=count,
        rests_words=marks_words(count),
        unknown=(_("A leg without both odometer readings adds its days and no distance."),),
        drill=drill_by(facts, "found_on__leg__rental_id"),
    )  # fmt: skip


def marks_words(count: int) -> str:
    return ngettext("%(count)s mark", "%(count)s marks", count) % {"count": count}


def where_found(asked: Asked) -> Table:
    """At the return; at the return after it was finished; or only at the next pickup, where nobody pays for it."""
    late = Q(found_on__kind=WalkRound.Kind.RETURN, found_at__gt=F("found_on__finished_at"))
    where = Case(
        When(late, then=Value("late")), When(found_on__kind=WalkRound.Kind.RETURN, then=Value("return")),
        default=Value("pickup"), output_field=CharField(),
    )  # fmt: skip
    facts = Mark.objects.filter(asked.due_back(OF_RETURN)).annotate(group=where)
    counts = dict(facts.order_by().values_list("group").annotate(many=Count("pk")))
    yard = Mark.objects.filter(asked.within("found_at", branch="unit__branch"), found_on=None).count()
    whole = sum(counts.values()) + yard
    names = {"return": _("On the return"), "late": _("After the customer had left"), "pickup": _("At the next pickup")}
    rows = [Row((title, counts.get(key, 0), share(counts.get(key, 0), whole)), key=key) for key, title in names.items()]
    return Table(
        title=_("Where damage is found"),
        definition=_("Marks by when they were noticed. What only the next pickup finds was passed over at the return."),
        columns=(Column("when", _("Found"), figures=False), Column("marks", _("Marks")), Column("pct", _("Share, %"))),
        rows=(*rows, Row((_("In the yard, on no walk-round"), yard, share(yard, whole)))),
        rests_on=whole,
        rests_words=marks_words(whole),
        unknown=(_("A mark that was there before the unit came into service counts at its first pickup."),),
        drill=drill_by(facts, "found_on__leg__rental_id"),
    )  # fmt: skip
