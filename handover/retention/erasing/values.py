"""Values that the Ledger states as salted digests: value and salt go, the digest stays."""

from collections.abc import Iterator
from uuid import UUID

from django.db.models import Q

from handover.rental.models import Rental
from handover.retention.erasing.scope import Scope
from handover.retention.inventory import PERSONAL_VALUES
from handover.retention.kinds import Kind
from handover.turnaround.models import TurnaroundJob
from shared.ledger.models import Entry, PersonalValue
from shared.ledger.personal import forget
from shared.ledger.row_checking import PERSONAL


def erase_values(kind: Kind, rental: Rental, scope: Scope) -> int:
    """How many values of this kind are erased."""
    named = [name for name, of in PERSONAL_VALUES.items() if of is kind]
    values = PersonalValue.objects.filter(kind__in=named, digest__in=stated_of(rental, scope.keep), erased_at=None)
    return sum(forget(digest) for digest in list(values.values_list("digest", flat=True)))


def stated_of(rental: Rental, without: frozenset[UUID] = frozenset()) -> set[str]:
    """The digests that entries about this rental state, but for entries about the rows in `without`."""
    return {digest for subject, payload in _entries(rental) if subject not in without
            for digest in PERSONAL.findall(payload)}  # fmt: skip


def _entries(rental: Rental) -> Iterator[tuple[UUID | None, str]]:
    """Of its chain, and of the unit's about the jobs that its return left."""
    jobs = TurnaroundJob.objects.filter(walk__leg__rental=rental).values("pk")
    of_it = Entry.objects.filter(Q(chain=rental.pk) | Q(subject__in=jobs), payload__contains='"digest"')
    yield from of_it.values_list("subject", "payload").iterator(chunk_size=500)
