import os
import stat
from pathlib import Path
from unittest.mock import patch

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import storages

from shared.files.store import keep


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def everything(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


@pytest.fixture(autouse=True)
def _odd_umask() -> object:
    before = os.umask(0)
    yield
    os.umask(before)


def test_others_on_the_machine_cannot_read(folder: Path) -> None:
    kept = folder / keep(b"level").name
    assert mode(kept) == 0o640
    assert {mode(parent) for parent in (kept.parent, kept.parent.parent, folder)} == {0o750}


def test_bytes_reach_the_disk_before_the_name_does(folder: Path) -> None:
    order: list[str] = []
    fsync, replace = os.fsync, os.replace
    with (
        patch("os.fsync", side_effect=lambda handle: (order.append("sync"), fsync(handle))),
        patch("os.replace", side_effect=lambda old, new: (order.append("rename"), replace(old, new))),
    ):
        keep(b"level")
    assert order[:2] == ["sync", "rename"]
    # the folder of the file, and the parents of the three folders that were made: ab/cd in evidence
    assert order[2:] == ["sync"] * 4


def test_second_file_in_a_folder_syncs_that_folder_alone(folder: Path) -> None:
    storage = storages["evidence"]
    storage.save("ab/one", ContentFile(b"1"))
    with patch("os.fsync", wraps=os.fsync) as synced:
        storage.save("ab/two", ContentFile(b"2"))
    assert synced.call_count == 2


@pytest.mark.parametrize("breaks", ["os.fsync", "os.fchmod"])
def test_failed_write_leaves_nothing(folder: Path, breaks: str) -> None:
    with patch(breaks, side_effect=OSError("disk full")), pytest.raises(OSError, match="disk full"):
        keep(b"level")
    assert everything(folder) == []


def test_large_content_is_written_whole(folder: Path) -> None:
    data = bytes(range(256)) * 4096
    assert (folder / keep(data).name).read_bytes() == data


def test_name_is_kept_as_it_is(folder: Path) -> None:
    storage = storages["evidence"]
    assert [storage.save("ab/one", ContentFile(text)) for text in (b"1", b"2")] == ["ab/one", "ab/one"]
    assert (folder / "ab/one").read_bytes() == b"2"
