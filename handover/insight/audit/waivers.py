"""Waivers and credits above the limit of who gave them, or confirmed by nobody else."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.counter.limits import may_waive, waiver_limits
from handover.counter.models import Credit, Waiver
from handover.insight.asking import Asked
from handover.insight.metrics.waivers import given
from handover.insight.table import Column, Money, Row, Table
from shared.access.models import Person


def waivers_above_limit(asked: Asked) -> Table:
    """By the limits of the rental's own rate card and the role that each person has today."""
    taken = {one.waiver.pk: one.amount for one in given(asked)}
    related = ("rental__branch", "by", "second")
    waivers = list(Waiver.objects.filter(asked.due_back("rental__")).select_related(*related))
    credits_given = list(Credit.objects.filter(asked.due_back("rental__")).select_related(*related))
    worth: list[tuple[Any, Decimal | None, str]] = [
        (row, taken.get(row.pk, row.amount), row.get_reason_display()) for row in waivers
    ]
    worth += [(row, row.amount, row.get_kind_display()) for row in credits_given]
    rows = [_row(asked, row, amount, reason, wrong)
            for row, amount, reason in worth if (wrong := _what_is_wrong(row, amount))]  # fmt: skip
    return Table(
        title=_("Waivers above a limit or confirmed by oneself"),
        definition=_(
            "Waivers and credits whose amount is above the limit of both people, or above that of the giver with "
            "nobody to confirm. What gave nothing away in the end counts with the amount that was entered."
        ),
        columns=(
            Column("rental", _("Rental"), figures=False), Column("at", _("When"), figures=False),
            Column("what", _("What for"), figures=False), Column("amount", _("Amount")),
            Column("by", _("Given by"), figures=False), Column("second", _("Confirmed by"), figures=False),
            Column("finding", _("Finding"), figures=False),
        ),
        rows=tuple(rows),
        rests_on=len(worth),
        rests_words=ngettext("%(count)s waiver or credit", "%(count)s waivers and credits", len(worth))
        % {"count": len(worth)},
        unknown=(
            _("Roles count as they are today. Who was on leave on a day is kept nowhere and is not known."),
        ),
    )  # fmt: skip


def _what_is_wrong(row: Any, amount: Decimal | None) -> str:
    limits = waiver_limits((row.rental.frozen or {}).get("rules", {}))
    if row.second_id == row.by_id:
        return _("Confirmed by the same person")
    if amount is None or _may(limits, row.by, amount) or (row.second and _may(limits, row.second, amount)):
        return ""
    return _("Above both limits") if row.second else _("Above the limit, confirmed by nobody")


def _may(limits: Mapping[str, str | None], by: Person, amount: Decimal) -> bool:
    return may_waive(limits, by.role, amount)


def _row(asked: Asked, row: Any, amount: Decimal | None, reason: str, wrong: str) -> Row:
    worth = None if amount is None else Money(amount, row.rental.currency)
    second = str(row.second) if row.second else _("nobody")
    at = asked.local(row.at, row.rental.branch_id)
    return Row((row.rental.number, at, reason, worth, str(row.by), second, wrong), rental=row.rental_id)
