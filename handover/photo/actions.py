"""Photos on a walk-round: taken in, freed of their place, kept under their digest."""

from uuid import UUID

from django.conf import settings
from django.db import transaction

from handover.acting import Act, CannotBe
from handover.photo.models import Photo
from handover.walkround.guard import begin
from handover.walkround.models import WalkRound
from shared.files.store import keep
from shared.photos.ingest import NotAPhoto, ingest

SUFFIXES = {"image/jpeg": ".jpg", "image/png": ".png", "image/webp": ".webp", "image/heif": ".heic"}


def add_photo(
    walk: WalkRound, *, station: int, data: bytes, act: Act, view: str = "", subject: UUID | None = None
) -> Photo:  # fmt: skip
    """Raises CannotBe with the sentence why this is no photo; nothing else is lost by it.

    The decoding and the files come before the transaction: it would hold the database for a second, and a file
    whose row is never written is only a file too many.
    """
    if len(data) > settings.PHOTO_MAX_BYTES:
        most = settings.PHOTO_MAX_BYTES // 2**20
        raise CannotBe(f"This file has {len(data) // 2**20} MB. A photo up to {most} MB can be added.", "photo")
    try:
        taken = ingest(data, zone=walk.leg.rental.branch.zone)
    except NotAPhoto as problem:
        raise CannotBe(str(problem), "photo") from problem
    original = keep(taken.original, suffix=SUFFIXES[taken.content_type])
    display, thumb = keep(taken.display, suffix=".jpg"), keep(taken.thumb, suffix=".jpg")
    with transaction.atomic():
        if earlier := begin(walk, Photo, "photo.added", act):
            return earlier
        photo = Photo.objects.create(
            id=act.key,
            walk=walk,
            station_number=station,
            subject=subject,
            view=view.strip()[:80],
            sent_sha256=taken.sent_sha256,
            kept_sha256=original.sha256,
            original=original.name,
            display=display.name,
            thumb=thumb.name,
            content_type=taken.content_type,
            width=taken.width,
            height=taken.height,
            size=original.size,
            taken_at=taken.taken_at,
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
    return photo
