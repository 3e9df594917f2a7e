"""Pieces of a photo, in a folder and in a bucket alike."""

import os
from pathlib import Path
from unittest.mock import patch

import pytest
from pytest_django.fixtures import Settings

from shared.files.away import StoreAway
from shared.files.objects import ObjectStorage
from shared.files.parts import InBucket, InFolder, Part, part
from shared.files.places import file_storages
from shared.ids import uuid7
from tests.files.store import needs_store, new_bucket


@pytest.fixture(params=["folder", pytest.param("bucket", marks=needs_store)])
def come(request: pytest.FixtureRequest, settings: Settings, tmp_path: Path) -> Part:
    settings.UPLOADS_DIR = tmp_path / "uploads"
    settings.FILES_URL = new_bucket() if request.param == "bucket" else ""
    if settings.FILES_URL:
        settings.STORAGES = {**settings.STORAGES, **file_storages(settings.FILES_URL, tmp_path)}
    return part(uuid7())


def test_pieces_go_on_where_they_stopped(come: Part) -> None:
    assert come.size == 0
    for size, piece in ((3, b"one"), (6, b"two"), (11, b"three")):
        with come.opened():
            come.append(piece)
        assert come.size == size
    assert come.whole() == b"onetwothree"


def test_emptied_all_comes_anew(come: Part) -> None:
    with come.opened():
        come.append(b"wrong")
        come.empty()
        assert come.size == 0
        come.append(b"right")
    assert come.whole() == b"right"


def test_what_is_not_there(come: Part) -> None:
    come.remove()
    with pytest.raises(FileNotFoundError):
        come.whole()
    with come.opened():
        come.append(b"one")
    come.remove()
    assert come.size == 0


@needs_store
def test_a_gap_ends_what_has_come(settings: Settings, tmp_path: Path) -> None:
    """The piece before it is listed late or was never written: what is behind it is sent again."""
    settings.FILES_URL = new_bucket()
    settings.STORAGES = {**settings.STORAGES, **file_storages(settings.FILES_URL, tmp_path)}
    come = InBucket("uploads/one/")
    for piece in (b"one", b"two", b"three"):
        come.append(piece)
    ObjectStorage(settings.FILES_URL).delete("uploads/one/000000000003")
    assert (come.size, come.whole()) == (3, b"one")


def test_a_full_disk_is_told_and_what_it_took_counts(tmp_path: Path) -> None:
    come, write = InFolder(tmp_path / "one.part"), os.write

    def full(handle: int, data: memoryview) -> int:
        if come.size:
            raise OSError(28, "No space left on device")
        return write(handle, data[:2])

    with come.opened(), patch("shared.files.parts.os.write", side_effect=full), pytest.raises(StoreAway):
        come.append(b"three")
    assert come.whole() == b"th"
