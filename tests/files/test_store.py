from pathlib import Path

import pytest
from django.core.exceptions import SuspiciousFileOperation
from django.core.files.storage import InMemoryStorage, storages
from pytest_django.fixtures import Settings

from shared.files.store import Altered, NotAName, keep, read, stated_sha256

# printf 'level' | sha256sum
LEVEL = "0081779c287d567d9ca622f4c0cc2ede819b0cc7f286a5f01d8c3c0178191ad6"
NAME = f"{LEVEL[:2]}/{LEVEL[2:4]}/{LEVEL}.txt"


def test_name_states_the_content(folder: Path) -> None:
    kept = keep(b"level", suffix=".txt")
    assert (kept.sha256, kept.name, kept.size) == (LEVEL, NAME, 5)
    assert (folder / NAME).read_bytes() == b"level"


def test_kept_is_read_back(folder: Path) -> None:
    assert read(keep(b"level", suffix=".txt").name) == b"level"


def test_same_content_is_written_once(folder: Path) -> None:
    first = keep(b"level")
    written = (folder / first.name).stat()
    assert keep(b"level") == first
    assert (folder / first.name).stat().st_ino == written.st_ino


def test_nothing_can_be_kept(folder: Path) -> None:
    assert read(keep(b"").name) == b""


def test_altered_file_is_refused(folder: Path) -> None:
    kept = keep(b"level", suffix=".txt")
    (folder / kept.name).write_bytes(b"Level")
    with pytest.raises(Altered, match="its bytes have changed"):
        read(kept.name)


def test_altered_file_is_made_good_by_the_right_bytes(folder: Path) -> None:
    kept = keep(b"level")
    (folder / kept.name).write_bytes(b"Level")
    keep(b"level")
    assert read(kept.name) == b"level"


def test_missing_file_is_missing(folder: Path) -> None:
    with pytest.raises(FileNotFoundError):
        read(NAME)


@pytest.mark.parametrize(
    "name",
    [
        "",
        "../../etc/passwd",
        "/etc/passwd",
        LEVEL,
        f"00/00/{LEVEL}",
        NAME + "/..",
        NAME.upper(),
        NAME + "\n",
        NAME.replace(".txt", ".TXT"),
        f"x{NAME}",
    ],
)
def test_other_names_are_refused(folder: Path, name: str) -> None:
    with pytest.raises(NotAName):
        read(name)


@pytest.mark.parametrize("suffix", ["jpg", ".", "./../x", ".JPG", ".jpeg2000x", ".a b"])
def test_suffix_is_a_short_ending(folder: Path, suffix: str) -> None:
    with pytest.raises(NotAName):
        keep(b"level", suffix=suffix)


def test_digest_is_read_off_the_name() -> None:
    assert stated_sha256(NAME) == LEVEL


def test_any_storage_will_do(settings: Settings) -> None:
    settings.STORAGES = {
        **settings.STORAGES,
        "evidence": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
    }
    assert isinstance(storages["evidence"], InMemoryStorage)
    assert read(keep(b"level").name) == b"level"
    assert keep(b"level").sha256 == LEVEL


def test_storage_itself_stays_in_its_folder(folder: Path) -> None:
    with pytest.raises(SuspiciousFileOperation):
        storages["evidence"].open("../outside")
