"""What every act on a trip checks first."""

from datetime import datetime
from typing import TypeVar
from uuid import UUID, uuid5

from django.db.models import Model
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.clock import local
from shared.dates import dated_moment
from shared.ledger.personal import personal

M = TypeVar("M", bound=Model)
State = Rental.State
ON_THE_TRIP = {State.OUT, State.SWAP, State.PICKUP, State.RETURN}


def begin(rental: Rental, model: type[M], kind: str, right: Right, act: Act) -> M | None:
    """Checks the right, finds a replay, reads the rental again under the chain's lock. Call it first.

    Raises CannotBe before pickup: what happens then is a change of the booking.
    """
    require(act.by, right, rental.branch_id)
    if earlier := act.replayed(model, chain=rental.pk, kind=kind):
        return earlier
    rental.refresh_from_db(fields=["state", "planned_back_at", "frozen_at"])
    if rental.frozen_at is None:
        raise CannotBe(
            _("%(rental)s has not left yet. Before the pickup its booking is changed instead.")
            % {"rental": rental.number}
        )
    return None


def check_happened(rental: Rental, at: datetime, act: Act, *, field: str = "at") -> None:
    """Not still to come, and not before the pickup. Raises CannotBe."""
    if at > act.at:
        raise CannotBe(
            _("%(at)s is still to come. Give the time it happened, or now.") % {"at": said(at, rental)}, field
        )
    if rental.frozen_at and at < rental.frozen_at:
        raise CannotBe(
            _("It left on %(frozen_at)s; %(at)s is before that.")
            % {"frozen_at": said(rental.frozen_at, rental), "at": said(at, rental)},
            field,
        )


def said(at: datetime, rental: Rental) -> str:
    """25 Oct 2026 01:30, on the branch's clock."""
    here = local(at, rental.branch.zone)
    return dated_moment(here)


def written(at: datetime, rental: Rental) -> str:
    """With its offset: on the night the clocks go back the same wall time comes twice."""
    return local(at, rental.branch.zone).isoformat(timespec="minutes")


def words(text: str) -> Json:
    """Free text may name people: the ledger states its digest, the value can be erased."""
    return dict(personal(text, kind="trip.words")) if text else None


def second_key(key: UUID, of: str) -> UUID:
    """The key of an act that belongs to another: the same for each replay of it."""
    return uuid5(key, of)
