"""What every action on a walk-round checks first."""

from collections.abc import Iterable
from typing import Protocol, TypeVar
from uuid import UUID

from django.db.models import Model
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.walkround.models import WalkRound
from shared.access.roles import Right
from shared.access.scope import require
from shared.phrasebook import inside


class Ask(Protocol):
    @property
    def id(self) -> UUID: ...


M = TypeVar("M", bound=Model)
A = TypeVar("A", bound=Ask)


def right_of(walk: WalkRound) -> Right:
    return Right.RETURN if walk.is_return else Right.PICKUP


def begin(walk: WalkRound, model: type[M], kind: str, act: Act) -> M | None:
    """Checks the right, finds a replay, then refuses what comes after the end. Call it first in the transaction."""
    rental = walk.leg.rental
    require(act.by, right_of(walk), rental.branch_id)
    if earlier := act.replayed(model, chain=rental.pk, kind=kind):
        return earlier
    # Read again under the chain's lock: another tablet may have finished it meanwhile.
    stands = WalkRound.objects.filter(pk=walk.pk).values_list("finished_at", "leg__rental__state")
    walk.finished_at, rental.state = stands.get()
    if walk.finished_at:
        raise CannotBe(
            _("This %(kind)s is signed and closed. What was signed stays as it is.")
            % {"kind": inside(walk.get_kind_display())}
        )
    return None


def asked(asks: Iterable[A], item_id: UUID, what: str) -> A:
    """The question with this id. Raises CannotBe when the sheet does not ask it."""
    for ask in asks:
        if ask.id == item_id:
            return ask
    raise CannotBe(_("This %(what)s is not asked on this walk-round. Open the station again.") % {"what": _(what)})
