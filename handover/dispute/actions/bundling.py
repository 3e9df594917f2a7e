"""A bundle is ordered, and made as a task once the order holds: it reads every photo of two walk-rounds."""

import tempfile
from functools import partial
from typing import BinaryIO, cast
from uuid import UUID

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django_tasks import task

from handover.acting import Act
from handover.dispute.bundle.contents import Contents, TooSmallALimit, contents_of
from handover.dispute.bundle.packing import pack
from handover.dispute.models import Bundle, Dispute
from handover.dispute.page import dispute_page
from handover.dispute.queries import disputes_in_full
from handover.made import mark_failed
from handover.record.render import NotRendered
from handover.zone import in_zone_of
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.clock import local
from shared.files.away import SENTENCE, StoreAway
from shared.files.store import Altered, StoredFile, keep
from shared.ids import uuid7
from shared.ledger.writing import append
from shared.phrasebook import in_house_language

ORDERED = "dispute.bundle_ordered"
IN_MEMORY = 1_000_000


@transaction.atomic
def order_bundle(dispute: Dispute, *, act: Act) -> Bundle:
    """Each order makes a new one: what came in since the last is in it."""
    rental = dispute.rental
    require(act.by, Right.SETTLE, rental.branch_id)
    if earlier := act.replayed(Bundle, chain=rental.pk, kind=ORDERED):
        return earlier
    bundle = Bundle.objects.create(
        id=act.key, dispute=dispute, limit_bytes=settings.BUNDLE_MAX_BYTES, ordered_at=act.at, by=act.by
    )
    act.write(chain=rental.pk, kind=ORDERED, subject=bundle.pk, payload={"dispute": dispute.number})
    transaction.on_commit(partial(make_bundle.enqueue, str(bundle.pk)))
    return bundle


@task()
def make_bundle(bundle_id: str) -> None:
    """What stops it is said on the dispute's page; a new order tries again."""
    bundle = Bundle.objects.select_related("by").get(pk=UUID(bundle_id))
    if bundle.is_ready:
        return
    try:
        _keep(bundle, *_made(bundle))
    except (NotRendered, Altered, TooSmallALimit) as problem:
        _fail(bundle, str(problem))
    except FileNotFoundError as problem:
        _fail(
            bundle, f"A file is gone from the store: {problem.filename}. Put it back from a backup, then order again."
        )
    except StoreAway:
        _fail(bundle, SENTENCE)


@in_house_language
def _made(bundle: Bundle) -> tuple[StoredFile, str, Contents]:
    dispute = disputes_in_full().get(pk=bundle.dispute_id)
    branch = dispute.rental.branch
    with in_zone_of(branch), tempfile.SpooledTemporaryFile(max_size=IN_MEMORY) as held:
        page = dispute_page(dispute, bundle.by, today=local(bundle.ordered_at, branch.zone).date())
        contents = contents_of(page, bundle)
        manifest = pack(cast(BinaryIO, held), contents.parts, contents.about, at=bundle.ordered_at)
        held.seek(0)
        return keep(held.read(), suffix=".zip"), manifest, contents


@transaction.atomic
def _fail(bundle: Bundle, sentence: str) -> None:
    if failed := mark_failed(bundle, sentence):
        _tell(bundle, "dispute.bundle_failed", {"problem": failed.problem})


@transaction.atomic
def _keep(bundle: Bundle, file: StoredFile, manifest: str, contents: Contents) -> None:
    """The file first, then its row and its place in the ledger. Made twice at once, the first one counts."""
    if Bundle.objects.select_for_update().get(pk=bundle.pk).is_ready:
        return
    bundle.state, bundle.problem = Bundle.State.READY, ""
    bundle.file, bundle.size, bundle.sha256 = file.name, file.size, file.sha256
    bundle.manifest_sha256, bundle.left_out = manifest, list(contents.left_out)
    bundle.save()
    _tell(
        bundle,
        "dispute.bundle_made",
        {
            "zip_sha256": bundle.sha256, "manifest_sha256": manifest, "size": bundle.size,
            "left_out": len(bundle.left_out),
        },
    )  # fmt: skip


def _tell(bundle: Bundle, kind: str, payload: dict[str, Json]) -> None:
    """By the program itself, in the rental's chain."""
    append(
        chain=bundle.dispute.rental_id, kind=kind, payload={"dispute": bundle.dispute.number, **payload}, by=None,
        key=uuid7(), happened_at=timezone.now(), subject=bundle.pk,
    )  # fmt: skip
