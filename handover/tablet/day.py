"""What a tablet puts by for a shift: today's pickups and returns of the person's branches, and what is under way."""

from collections.abc import Iterator
from datetime import datetime

from django.urls import reverse
from django.utils import timezone

from fleet.models import Branch
from handover.board.queries import Facts, facts_of, rentals_on
from handover.board.words import Known, barred_words
from handover.tablet.bundles import Versions, bundle_address, can_begin, versions_of
from handover.tablet.hello import instant
from handover.walkround import actions
from handover.walkround.models import WalkRound
from handover.zone import in_zone_of, today_at
from shared.access.models import Person
from shared.access.scope import scoped
from shared.clock import day_bounds


def day_of(person: Person, *, now: datetime) -> dict[str, object]:
    """As contracted. Nothing of a branch that the person is not posted to."""
    branches = list(scoped(Branch.objects.all(), person, path=""))
    rows = [row for branch in branches for row in _rows(branch, person, now)]
    return {
        "branch": ", ".join(branch.name for branch in branches),
        "date": str(today_at(branches[0])) if branches else str(timezone.localdate(now)),
        "walks": rows,
    }


def _rows(branch: Branch, person: Person, now: datetime) -> list[dict[str, object]]:
    with in_zone_of(branch):
        bounds = day_bounds(today_at(branch), branch.zone)
        rentals = rentals_on(branch, bounds, with_overdue=True)
        for rental in rentals:
            for leg in rental.legs.all():
                leg.rental = rental
        facts = facts_of(rentals, now=now, is_today=True)
        found = list(_found(facts, bounds))
        versions = versions_of([walk.leg for walk, _ in found])
        return [_row(walk, known, versions, person) for walk, known in found]


def _found(facts: Facts, bounds: tuple[datetime, datetime]) -> Iterator[tuple[WalkRound, Known]]:
    """What can be gone on with or begun, in the order of the day."""
    for kind, rows in ((WalkRound.Kind.PICKUP, facts.pickups(bounds)), (WalkRound.Kind.RETURN, facts.returns(bounds))):
        for known in rows:
            walk = known.walk
            if walk is None and can_begin(known.leg, kind):
                walk = WalkRound(pk=actions.walk_id_of(known.leg, kind), leg=known.leg, kind=kind)
            if walk and walk.finished_at is None:
                walk.leg = known.leg
                yield walk, known


def _row(walk: WalkRound, known: Known, versions: Versions, person: Person) -> dict[str, object]:
    rental, begun = known.rental, not walk._state.adding
    planned = rental.planned_back_at if walk.is_return else rental.planned_out_at
    return {
        "walk": str(walk.pk),
        "rental": str(rental.pk),
        "number": rental.number,
        "kind": walk.kind,
        "unit": known.leg.unit.number,
        "plate": known.leg.unit.plate,
        "customer": rental.customer.name,
        "at": instant(planned),
        "state": rental.state,
        "begun": begun,
        "barred": "" if walk.is_return or begun else barred_words(known),
        "etag": versions.etag(walk, person),
        "address": reverse("walk", args=[walk.pk]) if begun else reverse("rental", args=[rental.pk]),
        "bundle": bundle_address(walk),
    }
