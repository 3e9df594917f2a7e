"""One rental, in one transaction: its rows, values, copies and files, and the entry that tells of it."""

from functools import partial

from django.db import transaction

from handover.acting import AnyonesAct
from handover.rental.models import Rental
from handover.retention.erasing.copies import erase_groupings, erase_statements
from handover.retention.erasing.files import remove_given_up
from handover.retention.erasing.mail import addresses_of, remove_mail
from handover.retention.erasing.rows import erase_place
from handover.retention.erasing.scope import Scope
from handover.retention.erasing.tablets import erase_receipts
from handover.retention.erasing.values import erase_values
from handover.retention.inventory import PLACES
from handover.retention.kinds import Kind
from handover.retention.models import ErasedKind, Erasure
from handover.search.erasing import forget_views, said_of
from shared.canonical import Json

ERASED = "personal.erased"


@transaction.atomic
def erase(rental: Rental, scope: Scope, *, act: AnyonesAct) -> Erasure | None:
    """Erase what the scope names; None where nothing of it was there any more. Raises PricedOtherwise.

    The caller has judged what goes. Files are removed after the commit, with what other rentals gave up before.
    """
    if act.entry_before(chain=rental.pk, kind=ERASED):
        return Erasure.objects.filter(pk=act.key).first()
    addresses = addresses_of(rental) if Kind.DELIVERIES in scope.kinds else set()
    said = said_of(rental)
    statements = erase_statements(rental, scope) if Kind.WORDS in scope.kinds else []
    counts = {kind.value: count for kind in Kind if kind in scope.kinds and (count := _erase(kind, rental, scope))}
    if statements:
        counts[Kind.WORDS.value] = counts.get(Kind.WORDS.value, 0) + len(statements)
    _note_kinds(rental, scope)
    if not counts:
        return None
    forget_views(said)
    row = Erasure.objects.create(
        id=act.key, rental=rental, why=scope.why, counts=counts, at=act.at, by=act.by
    )  # fmt: skip
    told: dict[str, Json] = {"why": scope.why, "counts": dict(counts), "statements": list(statements)}
    act.write(chain=rental.pk, kind=ERASED, subject=row.pk, payload=told)
    transaction.on_commit(remove_given_up)
    transaction.on_commit(partial(remove_mail, addresses))
    return row


def _erase(kind: Kind, rental: Rental, scope: Scope) -> int:
    values = erase_values(kind, rental, scope)
    rows = sum(erase_place(place, rental, scope) for place in PLACES if place.kind is kind)
    if kind is Kind.WORDS:
        rows += erase_groupings(rental, scope)
    if kind is Kind.TABLET:
        rows += erase_receipts(rental, scope)
    return rows + values


def _note_kinds(rental: Rental, scope: Scope) -> None:
    """Only what went whole: what was held back in part is looked at again."""
    if scope.keep:
        return
    for kind in scope.kinds:
        ErasedKind.objects.update_or_create(
            rental=rental, kind=kind.value, defaults={"on": scope.day, "why": scope.why}
        )  # fmt: skip
