"""Photos of what has no walk-round: receipts, notices, a fault by the road."""

from dataclasses import asdict
from uuid import UUID

from django.db import transaction

from handover.acting import Act
from handover.photo.taking_in import TakenIn
from handover.rental.models import Rental
from handover.trip.guard import begin
from handover.trip.models import TripPhoto
from shared.access.roles import Right

KIND = "trip.photo_added"


@transaction.atomic
def add_trip_photo(*, rental: Rental, event: UUID, photo: TakenIn, right: Right, act: Act) -> TripPhoto:
    """`right` is the one that noting the event takes."""
    if earlier := begin(rental, TripPhoto, KIND, right, act):
        return earlier
    row = TripPhoto.objects.create(id=act.key, rental=rental, event=event, at=act.at, by=act.by, **asdict(photo))
    act.write(
        chain=rental.pk, kind=KIND, subject=row.pk,
        payload={
            "of": str(event), "sent_sha256": row.sent_sha256, "kept_sha256": row.kept_sha256,
            "taken_at": row.taken_at.isoformat() if row.taken_at else None,
        },
    )  # fmt: skip
    return row
