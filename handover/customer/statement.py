"""The Statement as the customer reads it: each Line with its Workings, and how it stands where it is contested."""

from collections.abc import Sequence
from dataclasses import dataclass

from handover.customer.opening import Visit
from handover.dispute.models import Dispute
from handover.rental.models import Rental
from handover.statement.lines import LineRow
from handover.statement.queries import StatementPage, statement_page


@dataclass(frozen=True, slots=True)
class CustomerStatement:
    """`lines` pairs each Line with its latest Dispute, if any; `others` are disputed Lines that stand no more."""

    page: StatementPage
    lines: Sequence[tuple[LineRow, Dispute | None]]
    others: Sequence[Dispute]

    @property
    def is_settled(self) -> bool:
        return self.page.rental.state == Rental.State.SETTLED


def statement_of(visit: Visit) -> CustomerStatement | None:
    """The latest version; None before it is priced. With the branch's zone and the customer's language active."""
    page = statement_page(visit.rental)
    if page.statement is None:
        return None
    rows = Dispute.objects.filter(rental=visit.rental, kind=Dispute.Kind.LINE).select_related("decision__letter")
    disputes = {(row.code, row.ref): row for row in rows}
    standing = {(line.code, line.ref) for line in page.lines}
    return CustomerStatement(
        page=page,
        lines=[(line, disputes.get((line.code, line.ref))) for line in page.lines],
        others=[row for named, row in disputes.items() if named not in standing],
    )
