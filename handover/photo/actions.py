"""Photos: taken in, freed of their place, kept under their digest."""

from dataclasses import dataclass
from uuid import UUID

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.photo.models import Photo
from handover.photo.pairing import order_pair
from handover.photo.sent import NOTHING_SAID, Sent
from handover.walkround.guard import begin
from handover.walkround.models import WalkRound
from shared.files.store import StoredFile, keep
from shared.photos import ingest as taken_in
from shared.phrasebook import said

SUFFIXES = {"image/jpeg": ".jpg", "image/png": ".png", "image/webp": ".webp", "image/heif": ".heic"}


@dataclass(frozen=True, slots=True)
class Taken:
    """A photo taken in, its three files, and what the tablet said of it."""

    photo: taken_in.Photo
    original: StoredFile
    display: StoredFile
    thumb: StoredFile
    sent: Sent = NOTHING_SAID


def take_in(data: bytes, *, zone: str, sent: Sent = NOTHING_SAID) -> Taken:
    """Raises CannotBe with the sentence why this is no photo; nothing else is lost by it.

    Call it before the transaction: decoding would hold the database for a second, and a file whose row is never
    written is only a file too many.
    """
    if len(data) > settings.PHOTO_MAX_BYTES:
        most = settings.PHOTO_MAX_BYTES // 2**20
        raise CannotBe(
            _("This file has %(count)s MB. A photo up to %(most)s MB can be added.")
            % {"count": len(data) // 2**20, "most": most},
            "photo",
        )
    sent.check(data)
    try:
        photo = taken_in.ingest(data, zone=zone)
    except taken_in.NotAPhoto as problem:
        raise CannotBe(said(str(problem)), "photo") from problem
    original = keep(photo.original, suffix=SUFFIXES[photo.content_type])
    return Taken(photo, original, keep(photo.display, suffix=".jpg"), keep(photo.thumb, suffix=".jpg"), sent)


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
