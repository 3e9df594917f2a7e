"""A record is ordered in the transaction that ends a walk-round or settles a statement, and made right after it."""

import secrets
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any
from uuid import UUID

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django_tasks import task

from handover.acting import Act
from handover.made import mark_failed
from handover.record.content import RecordContent
from handover.record.document import content_from
from handover.record.keys import sealing_key, trusted_roots
from handover.record.models import Record
from handover.record.render import NotRendered, render
from handover.record.seal import seal, timestamper_at
from handover.record.writing import previous_record, record_document
from handover.rental.models import Leg
from handover.statement.models import Statement
from handover.walkround.document import Found
from shared.canonical import canonical, sha256_hex
from shared.files.away import SENTENCE, StoreAway
from shared.files.store import Altered, keep, read
from shared.ids import uuid7
from shared.ledger.writing import append
from shared.phrasebook import in_house_language

# Without letters and digits that are mistaken for each other when they are read off paper.
CODE_LETTERS = "23456789ABCDEFGHJKMNPQRTUVWXYZ"


def issue_record(leg: Leg, *, kind: str, statement: Statement | None, act: Act) -> Record:
    """Order the record of a leg's pickup or return; it is made as a task once the transaction holds."""
    rental = leg.rental
    version = Record.objects.filter(rental=rental, kind=kind).count() + 1
    record = Record.objects.create(
        rental=rental, leg=leg, kind=kind, version=version, statement=statement, code=new_code(), made_at=act.at
    )
    transaction.on_commit(partial(make_record.enqueue, str(record.pk)))
    return record


def new_code() -> str:
    """Eight letters in two groups: 7Q4M-2KXD, some 39 bits."""
    letters = "".join(secrets.choice(CODE_LETTERS) for _ in range(8))
    return f"{letters[:4]}-{letters[4:]}"


@task()
def make_record(record_id: str) -> None:
    """Render, seal and keep a record. What cannot be drawn is said on the record's page and can be made again."""
    record = Record.objects.select_related("rental__branch", "rental__customer", "statement").get(pk=UUID(record_id))
    if record.state == Record.State.READY:
        return
    try:
        _keep(record, *sealed_pdf(record), at=timezone.now())
    except NotRendered as problem:
        _fail(record, str(problem))
    except Altered as problem:
        _fail(record, f"{problem} Put it back from a backup, then make it again.")
    except FileNotFoundError as problem:
        gone = Path(str(problem.filename)).name
        _fail(record, f"The photo {gone} is gone from the store. Put it back from a backup, then make it again.")
    except StoreAway:
        _fail(record, SENTENCE)


@transaction.atomic
def _fail(record: Record, sentence: str) -> None:
    failed = mark_failed(record, sentence)
    if failed is None:
        return
    append(
        chain=record.rental_id,
        kind="record.failed",
        payload={"kind": record.kind, "version": record.version, "problem": failed.problem},
        by=None,
        key=uuid7(),
        happened_at=timezone.now(),
        subject=record.pk,
    )


@in_house_language
def sealed_pdf(record: Record) -> tuple[bytes, bytes]:
    """The sealed PDF and the bytes of record.json inside it."""
    document, plan, founds = record_document(record)
    photos = _photos(document, founds)
    attachment = canonical(document)
    content: RecordContent = content_from(document)
    pdf = render(content, photos, attachment=attachment, plan=plan)
    with sealing_key() as signer:
        timestamper = timestamper_at(settings.RECORD_TSA_URL) if settings.RECORD_TSA_URL else None
        sealed = seal(
            pdf, signer=signer, reason=f"Record {content.record.number}, {content.record.kind}",
            place=content.operator.branch, timestamper=timestamper,
            lasting=trusted_roots() if settings.RECORD_LASTING else (),
        )  # fmt: skip
    return sealed, attachment


def _photos(document: dict[str, Any], founds: list[Found]) -> dict[str, bytes]:
    """The display photos by their sha256, their printed digest noted in the document."""
    data = {}
    for walk, found in zip(document["walk_rounds"], founds, strict=True):
        for row, photo in zip(walk["photos"], found.photos, strict=True):
            data[row["sha256"]] = read(photo.display)
            row["printed_sha256"] = sha256_hex(data[row["sha256"]])
    return data


@transaction.atomic
def _keep(record: Record, pdf: bytes, attachment: bytes, *, at: datetime) -> None:
    """The file first, then its row and its place in the ledger together. Made twice at once, the first one counts."""
    if Record.objects.select_for_update().get(pk=record.pk).state == Record.State.READY:
        return
    file = keep(pdf, suffix=".pdf")
    earlier = previous_record(record)
    record.state, record.problem = Record.State.READY, ""
    record.file, record.size, record.pdf_sha256 = file.name, file.size, file.sha256
    record.json_sha256 = sha256_hex(attachment)
    record.previous_sha256 = earlier.pdf_sha256 if earlier else ""
    record.save()
    append(
        chain=record.rental_id,
        kind="record.made",
        payload={
            "kind": record.kind,
            "version": record.version,
            "pdf_sha256": record.pdf_sha256,
            "json_sha256": record.json_sha256,
            "previous_sha256": record.previous_sha256,
        },
        by=None,
        key=uuid7(),
        happened_at=at,
        subject=record.pk,
    )
