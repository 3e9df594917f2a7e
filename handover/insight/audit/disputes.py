"""Disputes: answered on time or not, how, by whom and why."""

from django.utils.translation import gettext as _

from handover.dispute.models import Dispute
from handover.insight.asking import Asked
from handover.insight.metrics.disputes import disputes_words
from handover.insight.table import Column, Money, Row, Table


def disputes_answered(asked: Asked) -> Table:
    rows = Dispute.objects.filter(asked.due_back("rental__"))
    found = list(rows.select_related("rental__branch", "decision__by").order_by("answer_by", "number"))
    return Table(
        title=_("Disputes and their answers"),
        definition=_(
            "Each with the day that was promised, the decision and its reason. Taken along and sorted by line, they "
            "show whether the same facts were decided the same way."
        ),
        columns=(
            Column("rental", _("Rental"), figures=False), Column("dispute", _("Dispute, number")),
            Column("line", _("Line"), figures=False), Column("opened", _("Opened"), figures=False),
            Column("answer_by", _("Answer by"), figures=False), Column("decided", _("Decided"), figures=False),
            Column("finding", _("Finding"), figures=False), Column("outcome", _("Decision"), figures=False),
            Column("before", _("Charged before")), Column("after", _("Charged after")),
            Column("by", _("Decided by"), figures=False),
            Column("reason", _("Reason"), figures=False),
        ),
        rows=tuple(_row(asked, row) for row in found),
        rests_on=len(found),
        rests_words=disputes_words(len(found)),
    )  # fmt: skip


def _row(asked: Asked, row: Dispute) -> Row:
    branch, decision = row.rental.branch_id, getattr(row, "decision", None)
    opened = (row.rental.number, row.number, row.title or str(row.get_kind_display()),
              asked.local(row.at, branch).date(), row.answer_by)  # fmt: skip
    if decision is None:
        finding = _("Late, not answered") if row.answer_by < asked.today else _("Open")
        return Row((*opened, _("not yet"), finding, None, None, None, None, None), rental=row.rental_id)
    day, currency = asked.local(decision.at, branch).date(), row.rental.currency
    finding = _("Answered late") if day > row.answer_by else _("On time")
    return Row(
        (*opened, day, finding, str(decision.get_outcome_display()), Money(decision.before, currency),
         Money(decision.after, currency), str(decision.by), decision.words),
        rental=row.rental_id,
    )  # fmt: skip
