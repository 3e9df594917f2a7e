"""What is still to be done with the money: what the latest settled statement comes to, less what has moved. Pure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from uuid import UUID

ZERO = Decimal(0)


class Todo(StrEnum):
    CAPTURE = "capture"
    PAY = "pay"
    REFUND = "refund"
    RELEASE = "release"


@dataclass(frozen=True, slots=True)
class Hold:
    """`left` is what of it is neither captured nor released; it can be captured up to and with `expires_on`."""

    id: UUID
    left: Decimal
    expires_on: date | None = None

    def lapsed(self, today: date) -> bool:
        return self.expires_on is not None and self.expires_on < today


@dataclass(frozen=True, slots=True)
class Standing:
    """`total` of the latest settled statement, None before the first; `kept` stays held for what is deferred."""

    total: Decimal | None
    received: Decimal
    holds: Sequence[Hold]
    kept: Decimal
    today: date

    @property
    def gap(self) -> Decimal:
        """To collect when above zero, to give back when below."""
        return ZERO if self.total is None else self.total - self.received

    @property
    def held(self) -> Decimal:
        return sum((hold.left for hold in self.holds), ZERO)

    def live(self) -> list[Hold]:
        """What can be captured, what lapses first before the rest."""
        open_holds = [hold for hold in self.holds if hold.left and not hold.lapsed(self.today)]
        return sorted(open_holds, key=lambda hold: (hold.expires_on or date.max, str(hold.id)))


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do; `hold` for a capture or release. `lapsed`: the bank let it go, only the note is missing."""

    todo: Todo
    amount: Decimal
    hold: UUID | None = None
    lapsed: bool = False


def steps(standing: Standing) -> list[Step]:
    """In order: capture as far as holds reach, have the balance paid or pay back, release what is not needed."""
    if standing.total is None:
        return [*_lapsed(standing)]
    captures = dict(_captures(standing))
    balance = standing.gap - sum(captures.values(), ZERO)
    done = [Step(Todo.CAPTURE, amount, hold) for hold, amount in captures.items()]
    if balance > 0:
        done.append(Step(Todo.PAY, balance))
    if balance < 0:
        done.append(Step(Todo.REFUND, -balance))
    return [*done, *_releases(standing, captures), *_lapsed(standing)]


def _captures(standing: Standing) -> Iterator[tuple[UUID, Decimal]]:
    open_gap = max(standing.gap, ZERO)
    for hold in standing.live():
        amount = min(hold.left, open_gap)
        if amount:
            yield hold.id, amount
            open_gap -= amount


def _releases(standing: Standing, captures: dict[UUID, Decimal]) -> Iterator[Step]:
    """What is kept for deferred lines stays in the holds that last longest."""
    keep, found = standing.kept, []
    for hold in reversed(standing.live()):
        left = hold.left - captures.get(hold.id, ZERO)
        stays = min(left, keep)
        keep -= stays
        if left > stays:
            found.append(Step(Todo.RELEASE, left - stays, hold.id))
    return reversed(found)


def _lapsed(standing: Standing) -> Iterator[Step]:
    for hold in standing.holds:
        if hold.left and hold.lapsed(standing.today):
            yield Step(Todo.RELEASE, hold.left, hold.id, lapsed=True)
