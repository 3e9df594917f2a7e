"""A bucket of its own in the S3 store that .ci/objectstore runs; without one, what needs it is skipped."""

import os
from uuid import uuid4

import pytest

from shared.files.objects import ObjectEvidenceStorage

FILES_URL = os.environ.get("FILES_URL", "")
needs_store = pytest.mark.skipif(not FILES_URL, reason="Runs against an S3 store: make test-objectstore")


def new_bucket() -> str:
    """The address of a bucket that was made now."""
    address, _slash, asked = FILES_URL.rpartition("/")
    made = f"{address}/test-{uuid4().hex}?{asked.partition('?')[2]}"
    ObjectEvidenceStorage(made).bucket.create()
    return made
