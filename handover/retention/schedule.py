"""What is due on a day, and what holds it back. Pure: no Django, no clock, no database."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from handover.retention.kinds import Kind

EVERY_KIND = frozenset(Kind)


@dataclass(frozen=True, slots=True)
class Hold:
    """Why something of a rental stays. `until` is the last day, None where nobody can say.

    `kinds` stay whole; of the others the rows whose ids are in `rows` stay and the rest goes.
    """

    reason: str
    until: date | None
    kinds: frozenset[Kind] = EVERY_KIND
    rows: frozenset[UUID] = frozenset()


@dataclass(frozen=True, slots=True)
class Verdict:
    """`hold` is the one that lasts longest of those that keep the whole kind; `erased_on` where it has gone before."""

    kind: Kind
    due_on: date
    is_due: bool
    hold: Hold | None = None
    erased_on: date | None = None

    @property
    def goes(self) -> bool:
        return self.is_due and self.hold is None


def judged(
    days: Mapping[Kind, int],
    *,
    ended: date,
    today: date,
    holds: Iterable[Hold] = (),
    erased: Mapping[Kind, date] | None = None,
) -> list[Verdict]:
    """One verdict for each kind, in their order.

    A kind is due on the day that lies its days after the end, and once: after it was erased, only what came later,
    with a later end, makes it due again.
    """
    holding, gone = list(holds), erased or {}
    verdicts = []
    for kind in Kind:
        due_on = ended + timedelta(days=days[kind])
        is_due = due_on <= today and (kind not in gone or gone[kind] <= ended)
        verdicts.append(Verdict(kind, due_on, is_due, keeping(kind, holding), gone.get(kind)))
    return verdicts


def keeping(kind: Kind, holds: Iterable[Hold]) -> Hold | None:
    """The hold that keeps the whole kind longest; one without an end outlasts every day."""
    whole = [hold for hold in holds if kind in hold.kinds]
    return max(whole, key=lambda hold: (hold.until is None, hold.until or date.min), default=None)


def kept_rows(holds: Iterable[Hold]) -> frozenset[UUID]:
    return frozenset().union(*(hold.rows for hold in holds))
