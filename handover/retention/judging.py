"""What of which rental goes today: the branch's schedule, what holds it back, what has gone before."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from handover.rental.models import Rental
from handover.retention.ending import OVER, ended
from handover.retention.erasing.scope import Scope
from handover.retention.holding import holds_of
from handover.retention.kinds import DAYS, OF_THE_VEHICLE, Kind
from handover.retention.models import ErasedKind, RetentionTerm, Why
from handover.retention.schedule import Hold, Verdict, judged, kept_rows


@dataclass(frozen=True, slots=True)
class Judged:
    """One rental on one day. `whole` are the kinds that no other rental of the same customer still needs."""

    rental: Rental
    ended: date
    verdicts: Sequence[Verdict]
    holds: Sequence[Hold]
    whole: frozenset[Kind] = frozenset()

    @property
    def goes(self) -> frozenset[Kind]:
        """By schedule."""
        return frozenset(verdict.kind for verdict in self.verdicts if verdict.goes)

    @property
    def goes_on_request(self) -> frozenset[Kind]:
        """Whatever its day, but not what is the vehicle's and not what is held back."""
        return frozenset(row.kind for row in self.verdicts if row.hold is None and row.kind not in OF_THE_VEHICLE)

    @property
    def held(self) -> list[Verdict]:
        """Due by schedule, and kept whole."""
        return [verdict for verdict in self.verdicts if verdict.is_due and verdict.hold]

    def scope(self, why: Why, *, day: date) -> Scope:
        kinds = self.goes if why == Why.SCHEDULE else self.goes_on_request
        return Scope(kinds, day, why.value, kept_rows(self.holds), kinds & self.whole)


def terms_of(branches: Iterable[UUID]) -> Mapping[UUID, Mapping[Kind, int]]:
    """By branch, each kind with its days. One query."""
    found = {branch: dict(DAYS) for branch in branches}
    for row in RetentionTerm.objects.filter(branch__in=list(found)):
        found[row.branch_id][Kind(row.kind)] = row.days
    return found


def judge(rentals: Iterable[Rental], *, today: date) -> list[Judged]:
    """Each rental, loaded with its branch, and what its customer's other rentals say. A fixed number of queries."""
    own = list(rentals)
    others = Rental.objects.filter(customer__in={row.customer_id for row in own}).select_related("branch", "customer")
    every = _each(list(others), today=today)
    by_customer: dict[UUID, list[Judged]] = {}
    for row in every.values():
        by_customer.setdefault(row.rental.customer_id, []).append(row)
    return [_with_others(every[row.pk], by_customer[row.customer_id]) for row in own]


def _each(rentals: Sequence[Rental], *, today: date) -> dict[UUID, Judged]:
    terms, ends = terms_of({row.branch_id for row in rentals}), ended(rentals)
    holds, gone = holds_of(rentals, today=today), _gone(rentals)
    return {
        row.pk: Judged(
            row, ends[row.pk], holds=holds[row.pk],
            verdicts=judged(
                terms[row.branch_id], ended=ends[row.pk], today=today, holds=holds[row.pk],
                erased=gone.get(row.pk, {}),
            ),
        )
        for row in rentals
    }  # fmt: skip


def _gone(rentals: Sequence[Rental]) -> dict[UUID, dict[Kind, date]]:
    found: dict[UUID, dict[Kind, date]] = {}
    for row in ErasedKind.objects.filter(rental__in=rentals):
        found.setdefault(row.rental_id, {})[Kind(row.kind)] = row.on
    return found


def _with_others(row: Judged, same: Sequence[Judged]) -> Judged:
    """The customer's own row is one for all their rentals: the last that needs a kind keeps it there."""
    others = [other for other in same if other is not row]
    whole = frozenset(kind for kind in Kind if all(_lets_go(other, kind) for other in others))
    return Judged(row.rental, row.ended, row.verdicts, row.holds, whole)


def _lets_go(other: Judged, kind: Kind) -> bool:
    verdict = next(verdict for verdict in other.verdicts if verdict.kind is kind)
    return verdict.hold is None and (verdict.is_due or verdict.erased_on is not None)


def over() -> list[str]:
    """The states in which a rental can be erased."""
    return sorted(OVER)
