"""Safety kits that were opened, equipment that is short or surplus."""

from typing import Any

from django.db.models import Count, Exists, F, OuterRef, Q, QuerySet, Subquery, Sum
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.insight.asking import Asked
from handover.insight.facts import drill_by
from handover.insight.table import Column, Row, Table, share
from handover.walkround.models import Count as Counted
from handover.walkround.models import SealCheck, WalkRound

MOST_SHOWN = 10


def latest_of(rows: QuerySet[Any]) -> QuerySet[Any]:
    """Of several answers to one question of one walk-round the latest."""
    later = rows.model._default_manager.filter(walk=OuterRef("walk"), item=OuterRef("item")).filter(
        Q(at__gt=OuterRef("at")) | Q(at=OuterRef("at"), id__gt=OuterRef("id"))
    )
    return rows.filter(~Exists(later))


def _at_return(model: Any, asked: Asked) -> QuerySet[Any]:
    return latest_of(model.objects.filter(asked.due_back("walk__leg__rental__"), walk__kind=WalkRound.Kind.RETURN))


def kits_used(asked: Asked) -> Table:
    seen = _at_return(SealCheck, asked)
    opened = Q(state__in=[SealCheck.State.BROKEN, SealCheck.State.NOT_PRESENT])
    rows = seen.order_by().values("item__code", "item__name").annotate(
        many=Count("pk"), opened=Count("pk", filter=opened),
        gone=Count("pk", filter=Q(state=SealCheck.State.NOT_PRESENT)),
    )  # fmt: skip
    found = list(rows.order_by("-opened", "item__name"))
    count = sum(row["many"] for row in found)
    return Table(
        title=_("Safety kits used"),
        definition=_("Seals that were broken or kits that were not there when the unit came back."),
        columns=(
            Column("kit", _("Kit"), figures=False), Column("looked_at", _("Looked at")), Column("opened", _("Opened")),
            Column("gone", _("Of those, missing")), Column("opened_pct", _("Opened, %")),
        ),
        rows=tuple(
            Row((row["item__name"], row["many"], row["opened"], row["gone"], share(row["opened"], row["many"])),
                key=row["item__code"])
            for row in found
        ),
        rests_on=count,
        rests_words=ngettext("%(count)s seal", "%(count)s seals", count) % {"count": count},
        drill=drill_by(seen.filter(opened), "walk__leg__rental_id", group="item__code"),
    )  # fmt: skip


def missing_items(asked: Asked) -> Table:
    """The ten things that most often came back fewer than they left."""
    return _differs(
        asked, _("Missing items"), _("Things that came back fewer than they left; the ten most frequent."),
        F("left") - F("present"),
    )  # fmt: skip


def surplus_items(asked: Asked) -> Table:
    """What came back more than it left: somebody else's, or counted wrong at pickup."""
    return _differs(
        asked, _("Surplus items"), _("Things that came back more than they left; the ten most frequent."),
        F("present") - F("left"),
    )  # fmt: skip


def _counted(count: int) -> str:
    return ngettext(
        "%(count)s thing counted at pickup and return", "%(count)s things counted at pickup and return", count
    ) % {"count": count}


def _differs(asked: Asked, title: str, definition: str, by: Any) -> Table:
    out = Counted.objects.filter(
        walk__leg=OuterRef("walk__leg"), item=OuterRef("item"), walk__kind=WalkRound.Kind.PICKUP
    ).order_by("-at", "-id")
    both = _at_return(Counted, asked).annotate(left=Subquery(out.values("present")[:1]))
    both = both.filter(left__isnull=False, present__isnull=False).annotate(off=by)
    facts = both.filter(off__gt=0)
    rows = facts.order_by().values("item__code", "item__name").annotate(times=Count("pk"), pieces=Sum("off"))
    counted = both.count()
    return Table(
        title=title,
        definition=definition,
        columns=(
            Column("item", _("Item"), figures=False), Column("times", _("Times")), Column("pieces", _("Pieces")),
        ),
        rows=tuple(
            Row((row["item__name"], row["times"], row["pieces"]), key=row["item__code"])
            for row in rows.order_by("-times", "-pieces", "item__name")[:MOST_SHOWN]
        ),
        rests_on=counted,
        rests_words=_counted(counted),
        drill=drill_by(facts, "walk__leg__rental_id", group="item__code"),
    )  # fmt: skip
