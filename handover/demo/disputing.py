"""One open dispute for the demo: a customer contests a line that was settled, from their link."""

from datetime import datetime

from handover.acting import AnyonesAct
from handover.dispute.actions import open_dispute
from handover.dispute.line import numbered_line
from handover.dispute.models import Dispute
from handover.statement.models import Statement
from handover.statement.queries import statement_page
from handover.zone import in_zone_of
from shared.ids import uuid7

WORDS = {
    "DAMAGE": "The scuff was there when we took the van. It rained and nobody looked at that door.",
    "LATE": "I called at ten and was told that it was all right.",
}
OTHERWISE = "I do not think that this is right."


def contest(statement: Statement, *, now: datetime) -> Dispute:
    """The damage, else the dearest line; the one that is there already when the demo was set up before."""
    rental = statement.rental
    if earlier := rental.disputes.first():
        return earlier
    with in_zone_of(rental.branch):
        lines = statement_page(rental, version=statement.version).lines
        row = max(lines, key=lambda line: (line.code == "DAMAGE", line.due))
        line = numbered_line(statement, row.number)
    act = AnyonesAct(by=None, at=now, key=uuid7(), device="customer’s phone")
    return open_dispute(line, words=WORDS.get(line.code, OTHERWISE), by_customer=True, act=act)
