"""Where a walk-round that has ended leads."""

from collections.abc import Collection
from uuid import UUID

from django.urls import reverse

from handover.trip.legs import swap_of
from handover.walkround.models import WalkRound
from handover.walkround.queries import WITH_RENTAL
from shared.access.models import Person
from shared.access.scope import scoped


def way_on_from(walk: WalkRound) -> str:
    """To the statement after a return; to the rental where a unit went out, or another one comes first."""
    name = "statement" if walk.is_return and not swap_of(walk.leg) else "rental"
    return reverse(name, args=[walk.leg.rental_id])


def ends_of(person: Person, walk_ids: Collection[UUID]) -> list[dict[str, str]]:
    """Most batches end nothing, and ask nothing."""
    if not walk_ids:
        return []
    rows = WalkRound.objects.filter(pk__in=list(walk_ids), finished_at__isnull=False).select_related(*WITH_RENTAL)
    own = scoped(rows, person, "leg__rental__branch")
    return [{"walk": str(walk.pk), "address": way_on_from(walk)} for walk in own]
