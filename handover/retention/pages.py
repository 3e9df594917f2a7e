"""What the pages of retention show, in a fixed number of queries."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from fleet.models import Branch
from handover.rental.models import Customer, Rental
from handover.retention.holdings import HeldData, person_of
from handover.retention.judging import Judged, terms_of
from handover.retention.kinds import DAYS, OF_THE_VEHICLE, Kind
from handover.retention.models import Erasure, ErasureRequest, LegalHold
from handover.retention.requests import judged_of
from handover.retention.words import NAMES
from shared.access.models import Person as Staff
from shared.access.roles import Right

MOST = 20


@dataclass(frozen=True, slots=True)
class TermRow:
    """One kind with its days as text, kept or as they were typed, and those the product begins with."""

    kind: str
    name: str
    days: str
    default: int


@dataclass(frozen=True, slots=True)
class ErasedRow:
    erasure: Erasure
    counts: Sequence[tuple[str, int]]


@dataclass(frozen=True, slots=True)
class RetentionPage:
    branch: Branch
    terms: Sequence[TermRow]
    holds: Sequence[LegalHold]
    requests: Sequence[ErasureRequest]
    erased: Sequence[ErasedRow]
    may_set: bool


@dataclass(frozen=True, slots=True)
class KindRow:
    """What of one kind happens: `state` is open, held, vehicle or gone; `hold` why it stays and until when."""

    name: str
    state: str
    due_on: date
    hold: str = ""
    until: date | None = None
    erased_on: date | None = None


@dataclass(frozen=True, slots=True)
class RentalRow:
    """`partly` says of holds that keep single rows of the other kinds."""

    rental: Rental
    ended: date
    kinds: Sequence[KindRow]
    partly: Sequence[str]
    holds: Sequence[LegalHold]


@dataclass(frozen=True, slots=True)
class PersonPage:
    customer: Customer
    rows: Sequence[RentalRow]
    held: HeldData
    request: ErasureRequest | None


def retention_page(branch: Branch, person: Staff, typed: Mapping[str, str]) -> RetentionPage:
    """Four queries. `typed` is what a refused form said, by kind."""
    days = terms_of([branch.pk])[branch.pk]
    holds = LegalHold.objects.filter(rental__branch=branch, lifted_at=None).select_related("rental", "by")
    requests = ErasureRequest.objects.filter(done_at=None, customer__rentals__branch=branch)
    erased = Erasure.objects.filter(rental__branch=branch).select_related("rental", "by").order_by("-at", "-id")
    return RetentionPage(
        branch=branch,
        terms=[
            TermRow(kind.value, str(NAMES[kind]), typed.get(kind.value, str(days[kind])), DAYS[kind]) for kind in Kind
        ],
        holds=list(holds),
        requests=list(requests.select_related("customer", "by").distinct()),
        erased=[ErasedRow(row, _named(row)) for row in erased[:MOST]],
        may_set=person.may(Right.PEOPLE),
    )


def _named(row: Erasure) -> list[tuple[str, int]]:
    return [(str(NAMES[Kind(kind)]), count) for kind, count in row.counts.items()]


def person_page(customer: Customer, *, now: datetime) -> PersonPage:
    judged = judged_of(customer, now=now)
    holds = LegalHold.objects.filter(rental__customer=customer, lifted_at=None).select_related("by")
    standing: dict[object, list[LegalHold]] = {}
    for hold in holds:
        standing.setdefault(hold.rental_id, []).append(hold)
    return PersonPage(
        customer=customer,
        rows=[_rental_row(row, standing.get(row.rental.pk, [])) for row in judged],
        held=person_of(customer),
        request=ErasureRequest.objects.filter(customer=customer).select_related("by").last(),
    )


def _rental_row(row: Judged, holds: Sequence[LegalHold]) -> RentalRow:
    kinds = [
        KindRow(
            name=str(NAMES[verdict.kind]),
            state=_state(verdict.kind, held=verdict.hold is not None, gone=verdict.erased_on is not None),
            due_on=verdict.due_on,
            hold=verdict.hold.reason if verdict.hold else "",
            until=verdict.hold.until if verdict.hold else None,
            erased_on=verdict.erased_on,
        )
        for verdict in row.verdicts
    ]
    return RentalRow(row.rental, row.ended, kinds, [hold.reason for hold in row.holds if hold.rows], holds)


def _state(kind: Kind, *, held: bool, gone: bool) -> str:
    if gone:
        return "gone"
    if held:
        return "held"
    return "vehicle" if kind in OF_THE_VEHICLE else "open"
