"""What was waived: by reason, by who gave it, and by who confirmed it."""

import json
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from django.utils.translation import gettext as _

from handover.counter.models import Waiver
from handover.insight.asking import Asked
from handover.insight.facts import drill_among
from handover.insight.metrics.charges import rentals_words
from handover.insight.results import ZERO, Result, latest
from handover.insight.table import Column, Money, Row, Table, per
from handover.statement.models import Statement
from shared.money import exponent, round_half_up


@dataclass(frozen=True, slots=True)
class Given:
    """One waiver with what it takes off by the latest statement."""

    waiver: Waiver
    result: Result
    amount: Decimal

    @property
    def rental(self) -> UUID:
        return self.result.rental

    @property
    def currency(self) -> str:
        return self.result.currency


def given(asked: Asked) -> list[Given]:
    """A waiver that lapsed, or came after the latest statement, takes nothing off and is not here."""
    return asked.once(_given)


def _given(asked: Asked) -> list[Given]:
    """Two queries beside the latest statements."""
    taken: dict[UUID, tuple[Result, dict[int, Decimal]]] = {}
    for result in latest(asked):
        for place, amount in result.waived:
            taken.setdefault(result.statement, (result, defaultdict(lambda: ZERO)))[1][place] += amount
    kept = dict(Statement.objects.filter(pk__in=list(taken)).values_list("pk", "inputs"))
    placed = {
        key: (result, amount)
        for pk, (result, amounts) in taken.items()
        for place, amount in amounts.items()
        if (key := waiver_at(kept[pk], place))
    }
    rows = Waiver.objects.filter(pk__in=list(placed)).select_related("by", "second")
    return [Given(row, *placed[row.pk]) for row in rows.order_by("at", "id")]


def waiver_at(inputs: str, place: int) -> UUID | None:
    """The row that the statement's inputs name as the source of a waiver."""
    sources = json.loads(inputs).get("sources", {})
    for name in ("percent", "amount"):
        if source := sources.get(f"waivers[{place}].{name}"):
            return UUID(source["answer"])
    return None


def waivers_by_reason(asked: Asked) -> Table:
    return _by(asked, _("Waived, by reason"), _("Reason"), lambda row: (row.reason, row.get_reason_display()))


def waivers_by_host(asked: Asked) -> Table:
    return _by(asked, _("Waived, by who gave it"), _("Given by"), lambda row: (str(row.by_id), str(row.by)))


def waivers_by_approver(asked: Asked) -> Table:
    """Who confirmed; what nobody had to confirm stands together."""
    return _by(
        asked, _("Waived, by who confirmed it"), _("Confirmed by"),
        lambda row: (str(row.second_id), str(row.second)) if row.second else ("alone", _("nobody: within the limit")),
    )  # fmt: skip


def _by(asked: Asked, title: str, heading: str, of: Callable[[Waiver], tuple[str, str]]) -> Table:
    rows = given(asked)
    out = asked.many_rentals
    sums: dict[tuple[str, str, str], list[Given]] = defaultdict(list)
    for one in rows:
        key, label = of(one.waiver)
        sums[f"{key} {one.currency}", label, one.currency].append(one)
    return Table(
        title=title,
        definition=_("What waivers take off by the latest statements. Percentages count with what they came to."),
        columns=(
            Column("by", heading, figures=False), Column("waivers", _("Waivers")), Column("value", _("Value")),
            Column("per_100", _("Waivers per 100 rentals")), Column("value_per_100", _("Value per 100 rentals")),
        ),
        rows=tuple(
            Row(
                (label, len(some), Money(worth, currency), per(len(some), out, 100),
                 Money(round_half_up(worth * 100 / out, exponent(currency)), currency) if out else None),
                key=key,
            )
            for (key, label, currency), some in sorted(sums.items(), key=lambda pair: -len(pair[1]))
            for worth in [sum((one.amount for one in some), ZERO)]
        ),
        rests_on=out,
        rests_words=rentals_words(out),
        drill=drill_among({key: {one.rental for one in some} for (key, _label, _currency), some in sums.items()}),
    )  # fmt: skip
