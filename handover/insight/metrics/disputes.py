"""Disputes and chargebacks: how many, how long they take, how they end."""

from collections import defaultdict
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import CharField, Count, F, Q, QuerySet, Sum, Value
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.dispute.models import Decision, Dispute
from handover.insight.asking import Asked
from handover.insight.facts import days, drill_by
from handover.insight.metrics.charges import code_title, rentals_words
from handover.insight.metrics.ranked import USUAL
from handover.insight.quantiles import quantiles
from handover.insight.table import Column, Money, Row, Table, per, share
from shared.clock import local

Outcome = Decision.Outcome


def _of(asked: Asked, kind: str) -> QuerySet[Dispute]:
    return Dispute.objects.filter(asked.due_back("rental__"), kind=kind)


def _ended(*outcomes: str) -> Count:
    return Count("pk", filter=Q(decision__outcome__in=outcomes))


def disputes_by_line(asked: Asked) -> Table:
    facts = _of(asked, Dispute.Kind.LINE)
    rows = facts.order_by().values("code").annotate(
        many=Count("pk"), by_hand=Count("pk", filter=Q(by_customer=True)), decided=_ended(*Outcome.values),
        upheld=_ended(Outcome.UPHELD), reduced=_ended(Outcome.REDUCED), waived=_ended(Outcome.WAIVED),
        withdrawn=_ended(Outcome.WITHDRAWN),
    ).order_by("-many", "code")  # fmt: skip
    out = asked.many_rentals
    return Table(
        title=_("Disputes, by kind of line"),
        definition=_("Lines that were contested, per 100 rentals, and how it ended: the line stands, is reduced, "
                     "waived, or withdrawn. Shares are of those decided."),
        columns=(
            Column("line", _("Line"), figures=False), Column("disputes", _("Disputes")),
            Column("per_100", _("Per 100 rentals")), Column("by_customer", _("Opened by the customer")),
            Column("decided", _("Decided")), Column("stands_pct", _("Line stands, %")),
            Column("reduced_pct", _("Reduced, %")), Column("waived_pct", _("Waived, %")),
            Column("withdrawn_pct", _("Withdrawn, %")),
        ),
        rows=tuple(
            Row(
                (code_title(row["code"]), row["many"], per(row["many"], out, 100), row["by_hand"], row["decided"],
                 *(share(row[name], row["decided"]) for name in ("upheld", "reduced", "waived", "withdrawn"))),
                key=row["code"],
            )
            for row in rows
        ),
        rests_on=out,
        rests_words=rentals_words(out),
        drill=drill_by(facts, "rental_id", group="code"),
    )  # fmt: skip


def days_to_decision(asked: Asked) -> Table:
    decided = Dispute.objects.filter(asked.due_back("rental__"), decision__at__gte=F("at"))
    facts = decided.annotate(
        group=F("kind"), label=Value("", output_field=CharField()), value=F("decision__at") - F("at")
    )
    late = _late(asked)
    found = quantiles(facts, USUAL)
    count = sum(one.many for one in found)
    return Table(
        title=_("Days to a decision"),
        definition=_("From opening to decision; on time is by the day that was promised, by the branch’s calendar."),
        columns=(
            Column("kind", _("Kind"), figures=False), Column("decided", _("Decided")),
            Column("median_days", _("Half within, days")), Column("p90_days", _("Nine of ten within, days")),
            Column("late", _("Later than promised")),
            Column("on_time_pct", _("On time, %")),
        ),
        rows=tuple(
            Row(
                (str(Dispute.Kind(one.group).label), one.many, days(one.at[50]), days(one.at[90]),
                 len(late[one.group]), share(one.many - len(late[one.group]), one.many)),
                key=str(one.group),
            )
            for one in found
        ),
        rests_on=count,
        rests_words=disputes_words(count),
        drill=drill_by(facts, "rental_id"),
    )  # fmt: skip


def disputes_words(count: int) -> str:
    return ngettext("%(count)s dispute", "%(count)s disputes", count) % {"count": count}


def _late(asked: Asked) -> dict[str, list[UUID]]:
    """A deadline is a day of the branch's calendar, and each branch has its own midnight."""
    found: dict[str, list[UUID]] = defaultdict(list)
    rows = Dispute.objects.filter(asked.due_back("rental__"), decision__isnull=False)
    for pk, kind, branch, until, at in rows.values_list("pk", "kind", "rental__branch", "answer_by", "decision__at"):
        if local(at, asked.zone(branch)).date() > until:
            found[kind].append(pk)
    return found


def chargebacks(asked: Asked) -> Table:
    """By currency; won is contested with something still asked for when it was decided."""
    facts: QuerySet[Any] = _of(asked, Dispute.Kind.CHARGEBACK).annotate(group=F("rental__branch__currency"))
    rows = facts.order_by().values("group").annotate(
        many=Count("pk"), claimed=Sum("claimed"), decided=_ended(*Outcome.values), contested=_ended(Outcome.UPHELD),
        kept=Sum("decision__after"), open=Count("pk", filter=Q(state=Dispute.State.OPEN)),
    ).order_by("group")  # fmt: skip
    out = asked.many_rentals
    return Table(
        title=_("Chargebacks"),
        definition=_("Payments that a card’s bank claimed back: how many, for how much, how many were contested, and "
                     "what is still asked for after the decision."),
        columns=(
            Column("currency", _("Currency"), figures=False), Column("chargebacks", _("Chargebacks")),
            Column("per_100", _("Per 100 rentals")), Column("claimed", _("Claimed")),
            Column("open", _("Not decided yet")),
            Column("contested", _("Contested")), Column("contested_pct", _("Contested, % of decided")),
            Column("asked_for", _("Still asked for")),
        ),
        rows=tuple(
            Row(
                (row["group"], row["many"], per(row["many"], out, 100), Money(row["claimed"], row["group"]),
                 row["open"], row["contested"], share(row["contested"], row["decided"]),
                 Money(row["kept"] or Decimal(0), row["group"])),
                key=row["group"],
            )
            for row in rows
        ),
        rests_on=out,
        rests_words=rentals_words(out),
        unknown=(_("Whether the bank in the end followed the answer is not kept here: the win rate is not known."),),
        drill=drill_by(facts, "rental_id"),
    )  # fmt: skip
