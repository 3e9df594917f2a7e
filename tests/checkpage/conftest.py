"""A pickup record, sealed once for the run, and the later version of it."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import transaction
from django.utils import timezone

from handover.record.actions import new_code
from handover.record.models import Record
from shared.files.store import read
from shared.ids import uuid7
from shared.ledger.rows import written
from shared.ledger.writing import append
from tests.pages.conftest import kept_out, made_record, sealed_once, waiting_record  # noqa: F401 (fixtures)
from tests.pages.conftest import out as _out

out = _out


@pytest.fixture
def pdf(made_record: Record) -> bytes:  # noqa: F811
    return read(made_record.file)


@pytest.fixture
def later(made_record: Record) -> Record:  # noqa: F811
    """Version 2 of it, which names it by its digest."""
    said: dict[str, Any] = {
        "rental": made_record.rental, "leg": made_record.leg, "kind": made_record.kind, "version": 2,
        "code": new_code(), "state": "ready", "file": made_record.file, "size": 1, "pdf_sha256": "e" * 64,
        "previous_sha256": made_record.pdf_sha256, "made_at": made_record.made_at + timedelta(days=1),
    }  # fmt: skip
    return Record.objects.create(**said)


@pytest.fixture
def made_entry(made_record: Record) -> int:  # noqa: F811
    """The entry of the ledger that tells of it: its columns came from the run's first one, so it is told here."""
    with transaction.atomic():
        written([made_record])
        entry = append(
            chain=made_record.rental_id, kind="record.made", payload={"pdf_sha256": made_record.pdf_sha256}, by=None,
            key=uuid7(), happened_at=timezone.now(), subject=made_record.pk,
        )  # fmt: skip
    return entry.sequence
