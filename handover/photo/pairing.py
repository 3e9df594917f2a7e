"""A return photo beside the pickup photo of the same view: ordered when it arrives, laid over each other as a task."""

from dataclasses import asdict
from functools import partial
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django_tasks import task

from handover.photo.aligning import Laid, TooDifferent, lay_over
from handover.photo.models import Photo, PhotoPair
from shared.files.store import Altered, keep, read


def order_pair(now: Photo) -> PhotoPair | None:
    """In the transaction that keeps a return photo. None where nothing of the pickup shows the same."""
    walk = now.walk
    if not walk.is_return or now.subject is None or walk.before_id is None:
        return None
    out = Photo.objects.filter(walk_id=walk.before_id, subject=now.subject).order_by("at", "id").last()
    if out is None:
        return None
    pair, made = PhotoPair.objects.get_or_create(out=out, now=now)
    if made:
        transaction.on_commit(partial(make_pair.enqueue, str(pair.pk)))
    return pair


@task()
def make_pair(pair_id: str) -> None:
    """Both photos stay as they are; what is made of them can be made again."""
    pair = PhotoPair.objects.select_related("out", "now").get(pk=UUID(pair_id))
    try:
        laid = lay_over(read(pair.out.display), read(pair.now.display))
    except TooDifferent:
        pair.state = PhotoPair.State.DIFFERENT
    except (Altered, FileNotFoundError):
        pair.state = PhotoPair.State.LOST
    else:
        _keep(pair, laid)
    pair.made_at = timezone.now()
    pair.save()


def _keep(pair: PhotoPair, laid: Laid) -> None:
    pair.aligned = keep(laid.jpeg, suffix=".jpg").name
    pair.regions = [list(asdict(region).values()) for region in laid.regions]
    pair.state = PhotoPair.State.ALIGNED
