"""Photos: taken in, freed of their place, kept under their digest."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from handover.acting import Act
from handover.photo.models import Photo
from handover.photo.pairing import order_pair
from handover.photo.sent import NOTHING_SAID, Sent
from handover.photo.taking_in import keep_files, photo_of
from handover.walkround.guard import begin
from handover.walkround.models import WalkRound
from shared.files.store import StoredFile
from shared.photos.ingest import Photo as PhotoFile


@dataclass(frozen=True, slots=True)
class Taken:
    """A photo taken in, its three files, and what the tablet said of it."""

    photo: PhotoFile
    original: StoredFile
    display: StoredFile
    thumb: StoredFile
    sent: Sent = NOTHING_SAID


def take_in(data: bytes, *, zone: str, sent: Sent = NOTHING_SAID) -> Taken:
    """Before the transaction. Raises CannotBe with the sentence why this is no photo; nothing else is lost by it."""
    photo = photo_of(data, zone=zone, sent=sent)
    return Taken(photo, *keep_files(photo), sent)


def add_photo(
    walk: WalkRound, *, station: int, data: bytes, act: Act, view: str = "", subject: UUID | None = None,
    sent: Sent = NOTHING_SAID,
) -> Photo:  # fmt: skip
    """On a walk-round that is under way."""
    taken = take_in(data, zone=walk.leg.rental.branch.zone, sent=sent)
    with transaction.atomic():
        if earlier := begin(walk, Photo, "photo.added", act):
            return earlier
        return keep_photo(walk, taken, station=station, view=view, subject=subject, act=act)


def keep_photo(
    walk: WalkRound, taken: Taken, *, station: int, act: Act, view: str = "", subject: UUID | None = None
) -> Photo:  # fmt: skip
    """Its row and its place in the ledger, in the transaction of the action that checked the right."""
    photo = Photo.objects.create(
        id=act.key,
        walk=walk,
        station_number=station,
        subject=subject,
        view=view.strip()[:80],
        sent_sha256=taken.photo.sent_sha256,
        kept_sha256=taken.original.sha256,
        original=taken.original.name,
        display=taken.display.name,
        thumb=taken.thumb.name,
        content_type=taken.photo.content_type,
        width=taken.photo.width,
        height=taken.photo.height,
        size=taken.original.size,
        taken_at=taken.photo.taken_at or taken.sent.by_our_clock(),
        skew_ms=taken.sent.skew_ms,
        at=act.at,
        by=act.by,
    )
    act.write(
        chain=walk.leg.rental_id,
        kind="photo.added",
        subject=photo.pk,
        payload={
            "walk": str(walk.pk),
            "station": station,
            "of": str(subject) if subject else None,
            "view": photo.view,
            "sent_sha256": photo.sent_sha256,
            "kept_sha256": photo.kept_sha256,
            "taken_at": photo.taken_at.isoformat() if photo.taken_at else None,
        },
    )
    order_pair(photo)
    return photo
