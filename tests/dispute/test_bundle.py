"""The bundle: everything in one file, each part under its digest, checkable with ordinary tools, within a limit."""

import json
import shutil
import subprocess
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest

from handover.dispute.actions import Verdict, decide, order_bundle
from handover.dispute.bundle.fitting import Form, Weighed, fitted
from handover.dispute.bundle.manual import recipe_in
from handover.dispute.models import Bundle, Dispute
from handover.photo.models import Photo
from handover.record.actions import make_record
from handover.record.models import Record
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.canonical import sha256_hex
from shared.files.store import read
from shared.ledger.models import Entry
from tests.dispute.conftest import DAYS_LATER
from tests.factories import PersonFactory, an_act
from tests.kept import anew
from tests.playing import as_committed

TOOLS = ("pdfsig", "openssl", "sha256sum", "basenc", "bash")
needs_tools = pytest.mark.skipif(any(shutil.which(tool) is None for tool in TOOLS), reason=f"needs {', '.join(TOOLS)}")


@pytest.fixture(scope="module")
def kept_bundle(kept_dispute: Dispute) -> Bundle:
    """Of a decided dispute, with both return records and the letter: five documents, which take seconds."""
    manager = PersonFactory(username="ruth", first_name="Ruth", last_name="Aldane", role="manager")
    for record in Record.objects.filter(state="waiting"):
        make_record.enqueue(str(record.pk))
    with as_committed():
        decide(anew(kept_dispute), Verdict("waived", "Let go"), act=an_act(manager, at=DAYS_LATER))
    return ordered(anew(kept_dispute), manager, as_committed)


@pytest.fixture
def bundle(kept_bundle: Bundle, db: None) -> Bundle:
    return anew(kept_bundle)


def ordered(dispute: Dispute, by: Person, committed: Callable[[], Any]) -> Bundle:
    with committed():
        row = order_bundle(dispute, act=an_act(by, at=DAYS_LATER))
    row.refresh_from_db()
    assert (row.state, row.problem) == ("ready", "")
    return row


def unpacked(row: Bundle) -> dict[str, bytes]:
    with ZipFile(BytesIO(read(row.file))) as folder:
        assert folder.testzip() is None
        return {name: folder.read(name) for name in folder.namelist()}


def _everything_is_in_it(bundle: Bundle) -> None:
    names = set(unpacked(bundle))
    number = bundle.dispute.rental.number
    assert {
        "HOW-TO-VERIFY.txt", "summary.pdf", "letter.pdf", "ca.pem", "manifest.json", "SHA256SUMS",
        "ledger/entries.jsonl", "ledger/digests.txt", f"records/{number}-pickup-1.pdf",
        f"records/{number}-return-1.pdf", f"records/{number}-return-2.pdf", "statements/1-inputs.json",
        "statements/2-result.json", "pairs/left-door-side-by-side.jpg",
    } <= names  # fmt: skip
    assert sorted(name.split("-")[0] for name in names if name.startswith("photos/")) == [
        "photos/pickup",
        "photos/return",
    ]


def _the_manifest_names_every_file_with_its_digest(bundle: Bundle) -> None:
    files = unpacked(bundle)
    manifest = json.loads(files["manifest.json"])
    listed = {row["name"]: (row["sha256"], row["size"]) for row in manifest["files"]}
    there = {name: (sha256_hex(data), len(data)) for name, data in files.items()}
    assert listed == {name: row for name, row in there.items() if name not in {"manifest.json", "SHA256SUMS"}}
    assert (manifest["dispute"], manifest["answer_by"], manifest["left_out"]) == (1, "2026-09-06", [])


def _the_ledger_knows_both_digests(bundle: Bundle) -> None:
    told = json.loads(Entry.objects.get(kind="dispute.bundle_made").payload)
    assert told["zip_sha256"] == bundle.sha256 == sha256_hex(read(bundle.file))
    assert told["manifest_sha256"] == bundle.manifest_sha256 == sha256_hex(unpacked(bundle)["manifest.json"])


def _the_originals_are_the_ones_that_were_kept(bundle: Bundle) -> None:
    kept = set(Photo.objects.values_list("kept_sha256", flat=True))
    assert {sha256_hex(data) for name, data in unpacked(bundle).items() if name.startswith("photos/")} == kept


def _statements_are_the_bytes_that_the_ledger_states(bundle: Bundle) -> None:
    files = unpacked(bundle)
    told = [json.loads(row.payload) for row in Entry.objects.filter(kind="statement.drawn_up").order_by("sequence")]
    for row in told:
        assert sha256_hex(files[f"statements/{row['version']}-inputs.json"]) == row["inputs_sha256"]
        assert sha256_hex(files[f"statements/{row['version']}-result.json"]) == row["result_sha256"]


@pytest.mark.django_db
def test_what_was_packed(bundle: Bundle) -> None:
    """Made once for all of it: a bundle takes its five documents' time."""
    _everything_is_in_it(bundle)
    _the_manifest_names_every_file_with_its_digest(bundle)
    _the_ledger_knows_both_digests(bundle)
    _the_originals_are_the_ones_that_were_kept(bundle)
    _statements_are_the_bytes_that_the_ledger_states(bundle)


def verified(folder: Path, files: dict[str, bytes]) -> list[str]:
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    recipe = recipe_in((folder / "HOW-TO-VERIFY.txt").read_text())
    done = subprocess.run(["bash", "-c", recipe], cwd=folder, capture_output=True, text=True, timeout=120, check=False)
    assert done.stderr == ""
    return done.stdout.splitlines()


@needs_tools
@pytest.mark.django_db
def test_the_recipe_holds_word_for_word(bundle: Bundle, tmp_path: Path) -> None:
    lines = verified(tmp_path, unpacked(bundle))
    assert lines[0] == "FILES: all as packed"
    assert [line for line in lines if line.startswith("LEDGER")] == ["LEDGER: digests right", "LEDGER: chain whole"]
    seals = [line for line in lines if line.startswith("SEAL")]
    photos = [line for line in lines if line.startswith("PHOTO")]
    assert (len(seals), len(photos)) == (3, 2)
    assert all(line.endswith(" sound") and "NOT" not in line for line in seals)
    assert all(line.endswith(" stated") and "NOT" not in line for line in photos)


FLIPPED = {
    "records/": "NOT SOUND",
    "ledger/entries.jsonl": "LEDGER: DIGESTS WRONG",
    "ledger/digests.txt": "LEDGER: CHAIN BROKEN",
    "photos/": "NOT STATED",
}


@needs_tools
@pytest.mark.django_db
def test_the_recipe_finds_a_flipped_byte(bundle: Bundle, tmp_path: Path) -> None:
    packed = unpacked(bundle)
    for place, (name, says) in enumerate(FLIPPED.items()):
        target = next(each for each in packed if each.startswith(name))
        flipped = packed[target][:400] + bytes([packed[target][400] ^ 1]) + packed[target][401:]
        lines = verified_loosely(tmp_path / str(place), packed | {target: flipped})
        assert any(says in line for line in lines), name
        assert "FILES: all as packed" not in lines, name


def verified_loosely(folder: Path, files: dict[str, bytes]) -> list[str]:
    """sha256sum complains aloud of the file that is another."""
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    recipe = recipe_in((folder / "HOW-TO-VERIFY.txt").read_text())
    done = subprocess.run(["bash", "-c", recipe], cwd=folder, capture_output=True, text=True, timeout=120, check=False)
    return done.stdout.splitlines()


@pytest.mark.django_db
def test_the_limit_makes_photos_smaller_and_says_so(
    bundle: Bundle, ruth: Person, committed: Callable[[], Any], settings: Any
) -> None:
    """All but the photos, and half of what the photos take: the copies for the screen are no smaller, so small ones."""
    photos = sum(Photo.objects.values_list("size", flat=True))
    settings.BUNDLE_MAX_BYTES = bundle.size - photos // 2
    row = ordered(bundle.dispute, ruth, committed)
    files = unpacked(row)
    manifest = json.loads(files["manifest.json"])
    changed = [*manifest["made_smaller"], *manifest["left_out"]]
    assert row.size <= settings.BUNDLE_MAX_BYTES
    assert changed
    assert {each["original_sha256"] for each in changed} <= set(Photo.objects.values_list("kept_sha256", flat=True))
    assert "So that the file fits" in files["HOW-TO-VERIFY.txt"].decode()


@pytest.mark.django_db
def test_a_limit_below_the_papers_is_said(
    dispute: Dispute, ruth: Person, committed: Callable[[], Any], settings: Any
) -> None:
    settings.BUNDLE_MAX_BYTES = 10_000
    with committed():
        row = order_bundle(dispute, act=an_act(ruth, at=DAYS_LATER))
    row.refresh_from_db()
    assert row.state == "failed"
    assert "The papers alone take" in row.problem


@pytest.mark.django_db
def test_a_photo_that_is_gone_is_said(dispute: Dispute, ruth: Person, committed: Callable[[], Any]) -> None:
    Photo.objects.filter(walk__kind="pickup").update(original="00/00/" + "0" * 64 + ".jpg")
    with committed():
        row = order_bundle(dispute, act=an_act(ruth, at=DAYS_LATER))
    row.refresh_from_db()
    assert row.state == "failed"
    assert "is gone from the store" in row.problem


@pytest.mark.django_db
def test_pressed_twice_it_is_one(dispute: Dispute, ruth: Person) -> None:
    act = an_act(ruth, at=DAYS_LATER)
    assert order_bundle(dispute, act=act) == order_bundle(dispute, act=act)
    assert Bundle.objects.count() == 1


@pytest.mark.django_db
def test_a_coordinator_orders_none(dispute: Dispute, maeve: Person) -> None:
    with pytest.raises(NotAllowed):
        order_bundle(dispute, act=an_act(maeve, at=DAYS_LATER))


def weighed(*shows_it: bool) -> list[Weighed]:
    return [Weighed(str(number), 1000, 300, 80, shows_it=each) for number, each in enumerate(shows_it)]


@pytest.mark.parametrize(
    ("room", "forms"),
    [
        (4000, "oooo"),
        (3999, "oood"),
        (2700, "oodd"),
        (2600, "oodd"),
        (2400, "oods"),
        (2160, "ooss"),
        (2100, "oosl"),
        (2000, "ooll"),
        (1999, "odll"),
        (600, "ddll"),
        (160, "ssll"),
        (80, "slll"),
        (79, "llll"),
        (0, "llll"),
    ],
)
def test_what_matters_least_goes_first(room: int, forms: str) -> None:
    """Two photos of the thing, two others: original, display, small, left out."""
    chosen = fitted(weighed(True, True, False, False), room)
    letters = {Form.ORIGINAL: "o", Form.DISPLAY: "d", Form.SMALL: "s", Form.LEFT_OUT: "l"}
    assert "".join(letters[row.form] for row in chosen) == forms
    assert sum(row.size for row in chosen) <= room


def test_a_copy_that_is_no_smaller_is_not_taken() -> None:
    (row,) = fitted([Weighed("1", 100, 200, 150, shows_it=True)], 100)
    assert row.form is Form.ORIGINAL
