"""Where the money of one rental stands, from its movements and its latest settled statement."""

import json
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from django.db.models import Exists, OuterRef, QuerySet

from handover.rental.models import Rental
from handover.settlement.models import Movement
from handover.settlement.plan import ZERO, Hold, Standing
from handover.statement.models import Statement
from shared.ledger.models import Entry

Kind = Movement.Kind
SETTLED = "statement.settled"


def settled_statements() -> QuerySet[Statement]:
    """Versions that both sides have signed or left unsigned with a reason: the ledger says which."""
    return Statement.objects.filter(Exists(Entry.objects.filter(subject=OuterRef("pk"), kind=SETTLED)))


def standing_of(rental: Rental, *, today: date) -> Standing:
    """Two queries."""
    latest = settled_statements().filter(rental=rental).order_by("-version").first()
    return standing(list(rental.movements.all()), latest, today=today)


def standing(movements: Sequence[Movement], latest: Statement | None, *, today: date) -> Standing:
    return Standing(
        total=latest.total if latest else None,
        received=received(movements),
        holds=[_hold(row, movements) for row in movements if row.kind == Kind.HELD],
        kept=_kept(latest, today) if latest else ZERO,
        today=today,
    )


def received(movements: Iterable[Movement]) -> Decimal:
    """What the operator has: captured and paid, less what was paid back."""
    sign = {Kind.CAPTURED: 1, Kind.PAID: 1, Kind.REFUNDED: -1}
    return sum((row.amount * sign.get(Kind(row.kind), 0) for row in movements), ZERO)


def _hold(held: Movement, movements: Iterable[Movement]) -> Hold:
    taken = sum((row.amount for row in movements if row.hold_id == held.pk), ZERO)
    return Hold(held.pk, held.amount - taken, held.expires_on)


def _kept(statement: Statement, today: date) -> Decimal:
    """Of deferred lines whose day has not passed; never more than a first version said that it keeps."""
    deferred = json.loads(statement.inputs).get("deferred", [])
    still = sum((Decimal(row["max"]) for row in deferred if date.fromisoformat(row["until"]) >= today), ZERO)
    kept = json.loads(statement.result)["totals"].get("deposit_kept")
    return still if kept is None else min(still, Decimal(kept))
