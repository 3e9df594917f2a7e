"""The gaps of a period: findings of the latest statements, things not counted at pickup, and what was waived for it."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import F, OuterRef, Subquery
from django.utils.translation import gettext as _

from handover.charges.sheet import Why
from handover.counter.models import Waiver
from handover.insight.asking import Asked
from handover.insight.baseline.pricing import at_most, at_most_missing
from handover.insight.facts import person
from handover.insight.metrics.things import latest_of
from handover.insight.metrics.waivers import given
from handover.insight.reasons import reason_words
from handover.insight.results import Result, latest
from handover.rental.models import Rental
from handover.statement.equipment import item_entry, price_of
from handover.statement.models import Statement
from handover.statement.words import line_title
from handover.walkround.models import Count, WalkRound

WANTING = {Why.NO_BASELINE, Why.NOT_READ, Why.NOT_PROVEN}
GIVEN_UP = {Waiver.Reason.UNCLEAR_BASELINE, Waiver.Reason.PHOTO_MISSING}


@dataclass(frozen=True, slots=True)
class Gap:
    """One thing that could not be charged. `amount` is what it costs at most, None where nobody can know."""

    rental: UUID
    number: str
    branch: UUID
    host: str
    what: str
    why: str
    amount: Decimal | None
    currency: str


@dataclass(frozen=True, slots=True)
class Priced:
    result: Result
    document: Mapping[str, Any]


def gaps(asked: Asked) -> list[Gap]:
    """In a fixed number of queries, once for a page; what is missing is priced again in memory."""
    return asked.once(_gaps)


def _gaps(asked: Asked) -> list[Gap]:
    uncounted = list(_uncounted(asked))
    wanted = {row.walk.leg.rental_id for row in uncounted}
    found = {
        result.statement: result
        for result in latest(asked)
        if result.rental in wanted or any(each.reason in WANTING for each in result.findings)
    }
    kept = Statement.objects.filter(pk__in=list(found)).values_list("pk", "inputs")
    priced = {found[pk].rental: Priced(found[pk], json.loads(inputs)) for pk, inputs in kept}
    hosts = _hosts(asked)
    rows = [gap for one in priced.values() for gap in _of_findings(one, hosts)]
    rows += [gap for row in uncounted for gap in _of_count(row, priced, hosts)]
    return sorted([*rows, *_waived(asked, hosts)], key=lambda gap: (gap.number, gap.what))


def _hosts(asked: Asked) -> dict[UUID, str]:
    """By rental who finished its first pickup."""
    first = WalkRound.objects.filter(leg__rental=OuterRef("pk"), kind=WalkRound.Kind.PICKUP).order_by("leg__number")
    named = first.annotate(name=person("finished_by")).values("name")[:1]
    return dict(asked.rentals.annotate(host=Subquery(named)).order_by().values_list("pk", "host"))


def _of_findings(one: Priced, hosts: Mapping[UUID, str]) -> Iterator[Gap]:
    result = one.result
    for finding in result.findings:
        if finding.reason in WANTING:
            unread = finding.reason == Why.NO_BASELINE
            amount = at_most(one.document, finding.code, finding.ref) if unread else None
            yield Gap(
                result.rental, result.number, result.branch, hosts.get(result.rental) or "",
                line_title(finding.code, finding.ref), reason_words(finding.reason), amount, result.currency,
            )  # fmt: skip


def _uncounted(asked: Asked) -> Any:
    """Things that nobody counted at pickup and that the return found fewer of than belong to the unit."""
    out = Count.objects.filter(
        walk__leg=OuterRef("walk__leg"), item=OuterRef("item"), walk__kind=WalkRound.Kind.PICKUP
    ).order_by("-at", "-id")
    back = latest_of(Count.objects.filter(asked.due_back("walk__leg__rental__"), walk__kind=WalkRound.Kind.RETURN))
    rows = back.annotate(left=Subquery(out.values("present")[:1])).filter(
        left__isnull=True, present__lt=F("item__quantity")
    )
    return rows.select_related("item", "walk__sheet", "walk__leg__rental__branch").order_by("at", "id")


def _of_count(row: Count, priced: Mapping[UUID, Priced], hosts: Mapping[UUID, str]) -> Iterator[Gap]:
    rental, one = row.walk.leg.rental, priced.get(row.walk.leg.rental_id)
    yield Gap(
        rental.pk, rental.number, rental.branch_id, hosts.get(rental.pk) or "", row.item.name,
        _("Not counted at pickup"), _missing(row, rental, one) if one else None, rental.currency,
    )  # fmt: skip


def _missing(row: Count, rental: Rental, one: Priced) -> Decimal | None:
    sheet = row.walk.sheet.data
    ask = next((ask for _station, ask in sheet.counts() if ask.id == row.item_id), None)
    price = price_of(ask, sheet, rental.frozen) if ask and rental.frozen else None
    if ask is None or price is None or row.present is None:
        return None
    return at_most_missing(one.document, item_entry(ask, ask.quantity - row.present, price))


def _waived(asked: Asked, hosts: Mapping[UUID, str]) -> Iterator[Gap]:
    """Charged, and given up because it could not be shown how the unit left."""
    for one in given(asked):
        if one.waiver.reason in GIVEN_UP:
            yield Gap(
                one.rental, one.result.number, one.result.branch, hosts.get(one.rental) or "",
                line_title(one.waiver.code, one.waiver.ref),
                _("Waived: %(reason)s") % {"reason": one.waiver.get_reason_display()}, one.amount, one.currency,
            )  # fmt: skip
