"""What a backup holds, and what keeps a restore from beginning. That it comes back: .ci/restore-drill."""

import stat
import subprocess
from datetime import UTC, datetime, timedelta
from io import StringIO
from pathlib import Path

import pytest
from django.core.files.storage import storages
from django.core.management import CommandError, call_command
from django.db import connection

from handover.rental.models import Rental
from shared.files.store import keep
from shared.running.backup.bringing_back import bring_back, other_heads
from shared.running.backup.manifest import MANIFEST, SUMS, NoBackup, read_manifest
from shared.running.backup.place import dated, drop_oldest, made_at, opened
from shared.running.models import Mark, last
from tests.files.conftest import folder  # noqa: F401 a fixture
from tests.files.store import needs_store, new_bucket

NOW = datetime(2026, 8, 17, 2, tzinfo=UTC)


@pytest.fixture
def backup(transactional_db: None, folder: Path, booked: Rental, tmp_path: Path) -> Path:  # noqa: F811
    """Of a database with one booking and a store with one file."""
    keep(b"level", suffix=".txt")
    call_command("backup", str(tmp_path / "backup"), stdout=StringIO())
    return tmp_path / "backup"


def refused(place: Path, *, over: bool = True) -> str:
    with pytest.raises(NoBackup) as told:
        bring_back(place, over=over, progress=lambda: None)
    return str(told.value)


def test_ordinary_tools_check_it(backup: Path) -> None:
    subprocess.run(["sha256sum", "--check", "--strict", "--quiet", SUMS], cwd=backup, check=True, timeout=30)
    said = read_manifest(backup)
    assert (said.vendor, said.files, said.chains) == (connection.vendor, 1, 0)
    assert list(other_heads(backup)) == []


def test_only_its_owner_reads_it(backup: Path) -> None:
    modes = {stat.S_IMODE(path.stat().st_mode) for path in (backup, *backup.rglob("*"))}
    assert modes == {0o700, 0o600}


def test_it_leaves_a_mark(backup: Path) -> None:
    mark = last(Mark.Of.BACKUP)
    assert mark
    assert mark.said["files"] == 1
    assert mark.said["size"] > 0


def test_a_part_that_changed_stops_the_restore(backup: Path) -> None:
    photo = next((backup / "evidence").rglob("*.txt"))
    photo.write_bytes(b"Level")
    assert f"{photo.relative_to(backup)} has changed" in refused(backup)
    photo.unlink()
    assert f"{photo.relative_to(backup)} is missing" in refused(backup)


def test_a_part_that_was_added_or_left_off_the_list_stops_it(backup: Path) -> None:
    (backup / "evidence" / "more").write_bytes(b"more")
    assert "evidence/more is no part of the backup" in refused(backup)
    (backup / SUMS).write_text("")
    assert "is not the list that the manifest names" in refused(backup)


def test_what_is_here_is_not_written_over_unless_told(backup: Path) -> None:
    assert "Something is here already" in refused(backup, over=False)


def test_a_backup_of_another_database_or_form_is_told(backup: Path) -> None:
    text = (backup / MANIFEST).read_text()
    (backup / MANIFEST).write_text(text.replace(f'"{connection.vendor}"', '"other"'))
    assert "This is a backup of other" in refused(backup)
    (backup / MANIFEST).write_text(text.replace("levelpeg backup 1", "levelpeg backup 9"))
    assert "of another form" in refused(backup)
    (backup / MANIFEST).write_text("{")
    assert "cannot be read" in refused(backup)
    (backup / MANIFEST).unlink()
    assert "is no backup" in refused(backup)


def test_chains_that_end_elsewhere_are_named(backup: Path) -> None:
    (backup / "ledger-heads.csv").write_text("0123,7,abc\n")
    assert list(other_heads(backup)) == ["Chain 0123 does not end where it ended when the backup was made."]


def test_an_altered_file_is_told_and_copied_as_it_is(backup: Path, folder: Path, tmp_path: Path) -> None:  # noqa: F811
    next(folder.rglob("*.txt")).write_bytes(b"Level")
    said = StringIO()
    with pytest.raises(SystemExit):
        call_command("backup", str(tmp_path / "again"), stdout=said)
    assert "is not what was kept" in said.getvalue()
    assert next((tmp_path / "again" / "evidence").rglob("*.txt")).read_bytes() == b"Level"


def test_a_tar_is_one_file_and_opens_again(backup: Path, tmp_path: Path) -> None:
    call_command("backup", str(tmp_path / "one.tar"), "--without-files", stdout=StringIO())
    with opened(tmp_path / "one.tar") as unpacked:
        assert read_manifest(unpacked).files is None
    (tmp_path / "one.tar").write_bytes(b"no tar")
    with pytest.raises(NoBackup, match="cannot be unpacked"), opened(tmp_path / "one.tar"):
        pass


def test_keys_go_apart(backup: Path, tmp_path: Path) -> None:
    call_command("backup", str(tmp_path / "two"), "--keys", str(tmp_path / "keys"), stdout=StringIO())
    secret = tmp_path / "keys" / "LEVELPEG_SECRET_KEY"
    assert stat.S_IMODE(secret.stat().st_mode) == 0o600
    assert not any(b"demo-only-this-secret" in path.read_bytes() for path in backup.rglob("*") if path.is_file())
    with pytest.raises(CommandError, match="outside the backup"):
        call_command("backup", str(tmp_path / "three"), "--keys", str(tmp_path / "three" / "keys"))
    with pytest.raises(CommandError, match="there already"):
        call_command("backup", str(tmp_path / "three"), "--keys", str(tmp_path / "keys"))
    assert not (tmp_path / "three").exists()


def test_without_them_it_says_where_they_live(backup: Path, tmp_path: Path) -> None:
    said = StringIO()
    call_command("backup", str(tmp_path / "two"), stdout=said)
    assert "The keys are not in it" in said.getvalue()
    assert "LEVELPEG_SECRET_KEY" in said.getvalue()


def test_a_backup_that_fails_leaves_nothing(tmp_path: Path) -> None:
    def broken() -> None:
        with made_at(tmp_path / "backup") as draft:
            (draft / "half").write_bytes(b"half")
            raise OSError("full")

    with pytest.raises(OSError, match="full"):
        broken()
    assert list(tmp_path.iterdir()) == []


def test_it_goes_over_nothing_that_is_there(tmp_path: Path) -> None:
    (tmp_path / "mine").write_bytes(b"mine")
    with pytest.raises(NoBackup, match="there already"), made_at(tmp_path):
        pass


def test_the_oldest_go_and_other_folders_stay(tmp_path: Path) -> None:
    for day in range(4):
        dated(tmp_path, NOW + timedelta(days=day)).mkdir()
    (tmp_path / "mine").mkdir()
    gone = drop_oldest(tmp_path, keep=3)
    assert [path.name for path in gone] == ["2026-08-17T020000Z"]
    assert len(list(tmp_path.iterdir())) == 4


@needs_store
def test_photos_come_out_of_a_bucket_and_go_into_another(
    transactional_db: None, settings: pytest.FixtureRequest, tmp_path: Path
) -> None:
    """Between stores, as when one moves: the files of the backup are the same."""
    evidence = {"BACKEND": "shared.files.objects.ObjectEvidenceStorage"}
    settings.STORAGES = settings.STORAGES | {"evidence": evidence | {"OPTIONS": {"address": new_bucket()}}}
    name = keep(b"level", suffix=".txt").name
    call_command("backup", str(tmp_path / "backup"), stdout=StringIO())
    settings.STORAGES = settings.STORAGES | {"evidence": evidence | {"OPTIONS": {"address": new_bucket()}}}
    from shared.running.backup.files import copy_in, names

    assert copy_in(tmp_path / "backup", progress=lambda: None) == 1
    assert list(names()) == [name]
    assert storages["evidence"].open(name).read() == b"level"
