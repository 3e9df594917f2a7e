"""Photos of what has no walk-round: receipts, notices, a fault by the road."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.photo.actions import SUFFIXES
from handover.rental.models import Rental
from handover.trip.guard import begin
from handover.trip.models import TripPhoto
from shared.access.roles import Right
from shared.files.store import keep
from shared.photos.ingest import NotAPhoto, ingest
from shared.phrasebook import said

KIND = "trip.photo_added"


@dataclass(frozen=True, slots=True)
class TakenIn:
    """A photo whose files are kept; its row is still to be written."""

    sent_sha256: str
    kept_sha256: str
    original: str
    display: str
    thumb: str
    taken_at: datetime | None


def take_in(data: bytes, *, zone: str) -> TakenIn:
    """Before any transaction: decoding takes long. `zone` is where the camera's clock is read. Raises CannotBe."""
    if len(data) > settings.PHOTO_MAX_BYTES:
        most = settings.PHOTO_MAX_BYTES // 2**20
        raise CannotBe(
            _("This file has %(count)s MB. A photo up to %(most)s MB can be added.")
            % {"count": len(data) // 2**20, "most": most},
            "photo",
        )
    try:
        taken = ingest(data, zone=zone)
    except NotAPhoto as problem:
        raise CannotBe(said(str(problem)), "photo") from problem
    original = keep(taken.original, suffix=SUFFIXES[taken.content_type])
    display, thumb = keep(taken.display, suffix=".jpg"), keep(taken.thumb, suffix=".jpg")
    return TakenIn(taken.sent_sha256, original.sha256, original.name, display.name, thumb.name, taken.taken_at)


@transaction.atomic
def add_trip_photo(*, rental: Rental, event: UUID, photo: TakenIn, right: Right, act: Act) -> TripPhoto:
    """`right` is the one that noting the event takes."""
    if earlier := begin(rental, TripPhoto, KIND, right, act):
        return earlier
    row = TripPhoto.objects.create(
        id=act.key, rental=rental, event=event, sent_sha256=photo.sent_sha256, kept_sha256=photo.kept_sha256,
        original=photo.original, display=photo.display, thumb=photo.thumb, taken_at=photo.taken_at,
        at=act.at, by=act.by,
    )  # fmt: skip
    act.write(
        chain=rental.pk, kind=KIND, subject=row.pk,
        payload={
            "of": str(event), "sent_sha256": row.sent_sha256, "kept_sha256": row.kept_sha256,
            "taken_at": row.taken_at.isoformat() if row.taken_at else None,
        },
    )  # fmt: skip
    return row
