"""Late returns, turnaround, units that were not ready, swaps and faults."""

from collections import defaultdict
from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import Count, F, Max, OuterRef, Q, Subquery, Sum
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.insight.asking import Asked
from handover.insight.facts import drill_by, hours, minutes
from handover.insight.metrics.charges import rentals_words
from handover.insight.metrics.handovers import pickups_of
from handover.insight.metrics.ranked import USUAL, Ranked, quantile_table
from handover.insight.quantiles import quantiles
from handover.insight.table import Column, Money, Row, Table, per, share
from handover.rental.models import Leg
from handover.trip.models import DisplacedCustomer, Fault, Swap
from handover.turnaround.models import NotReady, TurnaroundJob
from handover.walkround.models import WalkRound


def late_returns(asked: Asked) -> Table:
    """By branch; a unit that was swapped on the road is not late."""
    backs = WalkRound.objects.filter(
        asked.due_back("leg__rental__"), kind=WalkRound.Kind.RETURN, arrived_at__isnull=False
    ).filter(leg__ended_by__in=["", Leg.EndedBy.RETURN])
    many = dict(backs.order_by().values_list("leg__rental__branch").annotate(many=Count("pk")))
    facts = backs.filter(arrived_at__gt=F("leg__rental__planned_back_at")).annotate(
        group=F("leg__rental__branch"), label=F("leg__rental__branch__name"),
        value=F("arrived_at") - F("leg__rental__planned_back_at"),
    )  # fmt: skip
    late = {one.group: one for one in quantiles(facts, USUAL)}
    displaced = _displaced(asked)
    whole = sum(many.values())
    return Table(
        title=_("Late returns"),
        definition=_("Units that came to the gate after the planned return, as extended; by how much; and the "
                     "customers who had to wait for them."),
        columns=(
            Column("branch", _("Branch"), figures=False), Column("returns", _("Returns")), Column("late", _("Late")),
            Column("late_pct", _("Late, %")), Column("median_min", _("Half late by at most, minutes")),
            Column("p90_min", _("Nine of ten late by at most, minutes")),
            Column("displaced", _("Next customers displaced")),
            Column("cost", _("What that cost")),
        ),
        rows=tuple(
            Row(
                (one.name, many[one.pk], found.many if found else 0, share(found.many if found else 0, many[one.pk]),
                 minutes(found.at[50]) if found else None, minutes(found.at[90]) if found else None,
                 displaced[one.pk]["many"], Money(displaced[one.pk]["cost"], one.currency)),
                key=str(one.pk),
            )
            for one in asked.branches
            if one.pk in many
            for found in [late.get(one.pk)]
        ),
        rests_on=whole,
        rests_words=returns_words(whole),
        drill=drill_by(facts, "leg__rental_id"),
    )  # fmt: skip


def _displaced(asked: Asked) -> dict[UUID, dict[str, Any]]:
    rows = DisplacedCustomer.objects.filter(asked.due_back("rental__")).order_by().values("rental__branch")
    found: dict[UUID, dict[str, Any]] = defaultdict(lambda: {"many": 0, "cost": Decimal(0)})
    for row in rows.annotate(many=Count("pk"), worth=Sum("cost")):
        found[row["rental__branch"]] = {"many": row["many"], "cost": row["worth"]}
    return found


def turnaround_hours(asked: Asked) -> Table:
    """From the end of a return to the last of its jobs, by branch; returns with jobs open are counted beside it."""
    jobs = TurnaroundJob.objects.filter(walk=OuterRef("pk")).order_by().values("walk")
    backs = WalkRound.objects.filter(
        asked.due_back("leg__rental__"), kind=WalkRound.Kind.RETURN, finished_at__isnull=False
    ).annotate(
        last=Subquery(jobs.annotate(last=Max("closed_at")).values("last")),
        still=Subquery(jobs.annotate(still=Count("pk", filter=Q(closed_at=None))).values("still")),
    )
    facts = backs.filter(still=0, last__gte=F("finished_at")).annotate(
        group=F("leg__unit__branch"), label=F("leg__unit__branch__name"),
        value=F("last") - F("finished_at"),
    )  # fmt: skip
    waiting = backs.filter(still__gt=0).count()
    columns = (
        Column("branch", _("Branch of the unit"), figures=False), Column("returns", _("Returns with jobs")),
        Column("median_h", _("Half within, hours")), Column("p90_h", _("Nine of ten within, hours")),
    )  # fmt: skip
    definition = _("From the end of a return to the last of the jobs it left, where all of them are closed.")
    unknown = ngettext(
        "%(count)s return still has jobs open.", "%(count)s returns still have jobs open.", waiting
    ) % {"count": waiting}  # fmt: skip
    told = Ranked(_("Turnaround, hours"), definition, columns, hours, returns_words, unknown=(unknown,))
    return quantile_table(facts, told, rental="leg__rental_id")


def returns_words(count: int) -> str:
    return ngettext("%(count)s return", "%(count)s returns", count) % {"count": count}


def not_ready(asked: Asked) -> Table:
    """By branch: pickups for which a unit was let go with something open."""
    out = dict(pickups_of(asked).order_by().values_list("leg__rental__branch").annotate(many=Count("pk")))
    facts = NotReady.objects.filter(asked.due_back("rental__")).annotate(group=F("rental__branch"))
    let_go = dict(facts.order_by().values_list("group").annotate(many=Count("rental", distinct=True)))
    whole = sum(out.values())
    return Table(
        title=_("Units not ready at pickup"),
        definition=_("Pickups for which somebody let a unit go with jobs open or something due on the trip."),
        columns=(
            Column("branch", _("Branch"), figures=False), Column("pickups", _("Pickups")),
            Column("not_ready", _("Not ready")), Column("pct", _("Not ready, %")),
        ),
        rows=tuple(
            Row((one.name, out[one.pk], let_go.get(one.pk, 0), share(let_go.get(one.pk, 0), out[one.pk])), str(one.pk))
            for one in asked.branches
            if one.pk in out
        ),
        rests_on=whole,
        rests_words=ngettext("%(count)s pickup", "%(count)s pickups", whole) % {"count": whole},
        unknown=(_("How long a customer waited for a unit that was made ready meanwhile is not known."),),
        drill=drill_by(facts, "rental_id"),
    )  # fmt: skip


def swaps(asked: Asked) -> Table:
    facts = Swap.objects.filter(asked.due_back("rental__")).annotate(group=F("cause"))
    rows = facts.order_by().values("group").annotate(many=Count("pk"))
    out = asked.many_rentals
    names = dict(Swap._meta.get_field("cause").flatchoices)
    return Table(
        title=_("Swaps"),
        definition=_("Units given back for another on the trip, by whose cause it was."),
        columns=(
            Column("cause", _("Cause"), figures=False), Column("swaps", _("Swaps")),
            Column("per_100", _("Per 100 rentals")),
        ),
        rows=tuple(
            Row((str(names[row["group"]]), row["many"], per(row["many"], out, 100)), key=row["group"])
            for row in rows.order_by("-many")
        ),
        rests_on=out,
        rests_words=rentals_words(out),
        unknown=(_("What a swap costs the branch is kept nowhere: the cost is not known."),),
        drill=drill_by(facts, "rental_id"),
    )  # fmt: skip


def faults(asked: Asked) -> Table:
    """By system, with those of the first 24 hours: a ready check should have found them."""
    facts = Fault.objects.filter(asked.due_back("rental__"))
    early = Q(at__lte=F("leg__started_at") + timedelta(hours=24))
    rows = facts.order_by().values("system").annotate(
        many=Count("pk"), early=Count("pk", filter=early), stops=Count("pk", filter=Q(drivable=False))
    )  # fmt: skip
    out = asked.many_rentals
    return Table(
        title=_("Faults on the trip"),
        definition=_("What customers reported as not working, and how many of them within 24 hours of pickup."),
        columns=(
            Column("system", _("System"), figures=False), Column("faults", _("Faults")),
            Column("first_24_h", _("In the first 24 hours")), Column("not_drivable", _("Not drivable")),
            Column("per_100", _("Per 100 rentals")),
        ),
        rows=tuple(
            Row((row["system"], row["many"], row["early"], row["stops"], per(row["many"], out, 100)), key=row["system"])
            for row in rows.order_by("-many", "system")
        ),
        rests_on=out,
        rests_words=rentals_words(out),
        drill=drill_by(facts, "rental_id", group="system"),
    )  # fmt: skip
