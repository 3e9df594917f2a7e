"""The missing baselines: together by branch and host, and one by one."""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from django.utils.translation import gettext as _

from handover.insight.asking import Asked
from handover.insight.baseline.gaps import Gap, gaps
from handover.insight.facts import drill_among
from handover.insight.metrics.charges import rentals_words
from handover.insight.table import Column, Money, Row, Table


def baseline_by_host(asked: Asked) -> Table:
    rows = gaps(asked)
    out = asked.many_rentals
    groups: dict[tuple[str, str, str], list[Gap]] = defaultdict(list)
    names = {one.pk: one.name for one in asked.branches}
    for gap in rows:
        groups[names[gap.branch], gap.host, gap.currency].append(gap)
    return Table(
        title=_("Missing baselines, by branch and host"),
        definition=_(
            "What could not be charged because nobody read, counted or photographed it, and what that costs at most: "
            "readings as if it had left full, things at their price by age, waivers as they were given."
        ),
        columns=(
            Column("branch", _("Branch"), figures=False), Column("host", _("Pickup by"), figures=False),
            Column("things", _("Things")), Column("at_most", _("Cost at most")),
            Column("unpriced", _("Things without a price")),
        ),
        rows=tuple(
            Row((branch, host or None, len(some), Money(_sum(some), currency), sum(gap.amount is None for gap in some)),
                key=" ".join(key))
            for key, some in sorted(groups.items())
            for branch, host, currency in [key]
        ),
        rests_on=out,
        rests_words=rentals_words(out),
        drill=drill_among({" ".join(key): {gap.rental for gap in some} for key, some in groups.items()}),
    )  # fmt: skip


def _sum(some: Iterable[Gap]) -> Decimal:
    return sum((gap.amount for gap in some if gap.amount is not None), Decimal(0))


def baseline_missing(asked: Asked) -> Table:
    rows = gaps(asked)
    out = asked.many_rentals
    names = {one.pk: one.name for one in asked.branches}
    return Table(
        title=_("Missing baselines, one by one"),
        definition=_("Each thing with its rental. Where no sum stands, nobody can know what it would have come to."),
        columns=(
            Column("rental", _("Rental"), figures=False), Column("branch", _("Branch"), figures=False),
            Column("host", _("Pickup by"), figures=False), Column("what", _("What"), figures=False),
            Column("why", _("Why"), figures=False), Column("at_most", _("Cost at most")),
        ),
        rows=tuple(
            Row((gap.number, names[gap.branch], gap.host or None, gap.what, gap.why,
                 None if gap.amount is None else Money(gap.amount, gap.currency)), rental=gap.rental)
            for gap in rows
        ),
        rests_on=out,
        rests_words=rentals_words(out),
        unknown=(_("A photo that is missing stops no charge by itself: it stands here once a line is waived for it."),),
    )  # fmt: skip
