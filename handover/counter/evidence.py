"""Photos that a decision of the counter rests on: taken on the walk-rounds, or added with it."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID, uuid5

from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.photo.actions import Taken, keep_photo
from handover.photo.models import Photo
from handover.rental.models import Rental
from handover.walkround.models import WalkRound

# A photo of the counter belongs to no station.
COUNTER = 0


@dataclass(frozen=True, slots=True)
class Evidence:
    """`chosen` are ids of photos of this rental; `taken` are files that came with the form."""

    chosen: Sequence[UUID] = ()
    taken: Sequence[Taken] = ()

    def __bool__(self) -> bool:
        return bool(self.chosen or self.taken)


@dataclass(frozen=True, slots=True)
class Shows:
    """What added photos show: in words, by the id of the thing, at which station."""

    view: str
    subject: UUID | None = None
    station: int = COUNTER


def keep_evidence(rental: Rental, evidence: Evidence, shows: Shows, *, act: Act) -> list[Photo]:
    """The chosen photos and the added ones, which go to the return's. Raises CannotBe for another rental's photo."""
    chosen = list(Photo.objects.filter(pk__in=evidence.chosen, walk__leg__rental=rental))
    if len(chosen) < len(set(evidence.chosen)):
        raise CannotBe(_("One of these photos is not of this rental. Choose from the list."), "photos")
    return [*chosen, *(_keep(rental, taken, shows, act, number) for number, taken in enumerate(evidence.taken))]


def _keep(rental: Rental, taken: Taken, shows: Shows, act: Act, number: int) -> Photo:
    """Under a key that follows from the act's own, so that a replay adds nothing."""
    own = Act(by=act.by, at=act.at, key=uuid5(act.key, f"photo {number}"), device=act.device)
    walk = last_return(rental)
    return keep_photo(walk, taken, station=shows.station, view=shows.view, subject=shows.subject, act=own)


def last_return(rental: Rental) -> WalkRound:
    walk = WalkRound.objects.filter(leg__rental=rental, kind=WalkRound.Kind.RETURN).order_by("leg__number").last()
    if walk is None:
        raise CannotBe(_("%(rental)s has no return yet: begin it first.") % {"rental": rental.number})
    return walk
