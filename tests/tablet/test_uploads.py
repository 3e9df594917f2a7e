"""Photos in chunks: they go on where they stopped, and are only kept as the bytes that were taken."""

from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.conf import settings
from django.http import HttpResponse
from django.test import Client

from handover.photo.models import Photo
from handover.tablet import uploads
from handover.tablet.models import Receipt, Upload
from handover.walkround.models import WalkRound
from shared.access.models import Person
from shared.canonical import sha256_hex
from shared.files import parts
from shared.files.parts import part
from shared.files.store import read
from shared.ids import uuid7
from tests.photos.pictures import quarters, saved
from tests.tablet.conftest import Tablet, asked


@pytest.fixture
def picture() -> bytes:
    return saved(quarters(), "JPEG")


def put(client: Client, key: Any, data: bytes, start: int, end: int, **said: Any) -> HttpResponse:
    """The bytes from start to end, as a tablet sends them."""
    chunk = said.pop("chunk", data[start:end])
    asked_for = {"offset": start, "size": len(data), "sha": sha256_hex(data), **said}
    query = "&".join(f"{name}={value}" for name, value in asked_for.items())
    headers = {"X-Chunk-Sha256": sha256_hex(data[start:end])}
    return client.put(  # type: ignore[return-value]
        f"/tablet/uploads/{key}/?{query}", chunk, content_type="application/octet-stream", headers=headers
    )


def offset(client: Client, key: Any) -> Any:
    return client.get(f"/tablet/uploads/{key}/").json()


def photo(tablet: Tablet, walk: WalkRound, data: bytes, **said: Any) -> dict[str, Any]:
    fields = {"sha256": sha256_hex(data), "size": str(len(data)), "subject": "", **said}
    return tablet.says("photo", walk, fields=fields)


def test_in_chunks_and_then_its_entry(two: Tablet, pickup: WalkRound, picture: bytes) -> None:
    entry = photo(two, pickup, picture)
    assert two.told(entry) == ["waiting"]
    half = len(picture) // 2
    assert put(two.client, entry["key"], picture, 0, half).json() == {"offset": half, "complete": False}
    assert two.told(entry) == ["waiting"]
    assert offset(two.client, entry["key"]) == {"offset": half, "complete": False}
    said = put(two.client, entry["key"], picture, half, len(picture)).json()
    assert said == {"offset": len(picture), "complete": True}
    assert two.told(entry) == ["ok"]
    kept = Photo.objects.get()
    assert (str(kept.pk), kept.sent_sha256, kept.by) == (entry["key"], sha256_hex(picture), two.person)
    assert read(kept.original)
    assert not part(UUID(entry["key"])).size
    assert two.told(entry) == ["duplicate"]


def test_what_was_sent_twice_says_where_to_go_on(two: Tablet, picture: bytes) -> None:
    key = uuid7()
    put(two.client, key, picture, 0, 100)
    again = put(two.client, key, picture, 0, 100)
    assert (again.status_code, again.json()) == (409, {"error": "offset", "offset": 100})
    ahead = put(two.client, key, picture, 300, 400)
    assert (ahead.status_code, ahead.json()["offset"]) == (409, 100)


def test_a_chunk_that_changed_on_its_way_is_not_kept(two: Tablet, picture: bytes) -> None:
    key = uuid7()
    answer = put(two.client, key, picture, 0, 100, chunk=b"\0" * 100)
    assert (answer.status_code, answer.json()["offset"]) == (409, 0)
    assert offset(two.client, key)["offset"] == 0


def test_more_than_was_announced_is_not_kept(two: Tablet, picture: bytes) -> None:
    assert put(two.client, uuid7(), picture, 0, 200, size=100).status_code == 409


def test_another_hand_on_the_same_tablet_goes_on(two: Tablet, callum: Person, picture: bytes) -> None:
    key = uuid7()
    put(two.client, key, picture, 0, 100)
    other = Tablet(two.device, callum)
    assert put(other.client, key, picture, 100, len(picture)).json()["complete"] is True


def test_whole_and_sent_again_it_is_whole(two: Tablet, picture: bytes) -> None:
    key = uuid7()
    put(two.client, key, picture, 0, len(picture))
    assert put(two.client, key, picture, 0, len(picture)).json() == {"offset": len(picture), "complete": True}


def test_all_came_and_it_is_not_what_was_taken(two: Tablet, picture: bytes) -> None:
    """A torn write: sent again from the start; wrong for ever it is refused, and its entry with it."""
    key = uuid7()
    for status in (409, 409, 422):
        answer = put(two.client, key, picture, 0, len(picture), sha="0" * 64)
        assert answer.status_code == status
    assert answer.json()["sentence"] == "The photo did not arrive as it was taken. Take it once more."
    assert offset(two.client, key)["offset"] == 0


def test_what_is_too_large_is_refused_before_a_byte_of_it_is_read(
    two: Tablet, pickup: WalkRound, picture: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    entry = photo(two, pickup, picture, size=str(settings.PHOTO_MAX_BYTES + 1))
    answer = put(two.client, entry["key"], picture, 0, 100, size=settings.PHOTO_MAX_BYTES + 1)
    assert (answer.status_code, answer.json()["field"]) == (422, "photo")
    assert "A photo up to 25 MB can be added." in answer.json()["sentence"]
    assert not part(UUID(entry["key"])).size
    assert two.answer(entry)["sentence"] == answer.json()["sentence"]


def test_a_chunk_that_is_no_chunk_is_refused(two: Tablet) -> None:
    data = b"x" * (uploads.MOST_IN_A_CHUNK + 1)
    assert put(two.client, uuid7(), data, 0, len(data)).status_code == 413


@pytest.mark.parametrize("said", [{"size": "many"}, {"size": "-1"}, {"offset": "²"}, {"size": "9" * 30}], ids=str)
def test_what_is_no_number(said: Any, two: Tablet, picture: bytes) -> None:
    assert put(two.client, uuid7(), picture, 0, 100, **said).status_code == 422


def test_a_key_stands_for_one_photo(two: Tablet, picture: bytes) -> None:
    key = uuid7()
    put(two.client, key, picture, 0, 100)
    answer = put(two.client, key, picture[::-1], 100, 200)
    assert answer.json()["sentence"] == "This key already stands for another photo. Take it once more."


@pytest.mark.parametrize("data", [b"<svg onload=alert(1)>", b"\xff\xd8\xff\xe0" + b"\0" * 40, b"GIF89a" + b"\0" * 40])
def test_bytes_that_are_no_photo_are_refused_and_stop_nothing(two: Tablet, pickup: WalkRound, data: bytes) -> None:
    entry = photo(two, pickup, data)
    put(two.client, entry["key"], data, 0, len(data))
    after = two.says("count", pickup, asked(pickup, "straps"), present="2")
    assert two.told(entry, after) == ["rejected", "ok"]
    receipt = Receipt.objects.get(kind="photo")
    assert receipt.sentence
    assert not Photo.objects.exists()
    assert not part(UUID(entry["key"])).size


def test_a_photo_that_the_tablet_lost_blocks_no_end(two: Tablet, pickup: WalkRound, picture: bytes) -> None:
    ack = two.answer(photo(two, pickup, picture, lost="1"))
    assert (ack["status"], ack["field"]) == ("rejected", "photo")
    assert two.send()["contiguous_seq"] == 1


def test_held_its_bytes_stay_until_a_person_decides(
    two: Tablet, isla: Person, ruth: Person, pickup: WalkRound, picture: bytes, django_capture_on_commit_callbacks: Any
) -> None:
    from handover.tablet.held import try_again
    from tests.factories import an_act

    entry = photo(two, pickup, picture)
    put(two.client, entry["key"], picture, 0, len(picture))
    Person.objects.filter(pk=isla.pk).update(role="coordinator")
    assert two.told(entry) == ["held"]
    assert part(UUID(entry["key"])).size
    with django_capture_on_commit_callbacks(execute=True):
        try_again(Receipt.objects.get(), act=an_act(ruth))
    assert Photo.objects.get().by == ruth
    assert not part(UUID(entry["key"])).size


def test_a_file_that_is_gone_is_asked_for_again(two: Tablet, pickup: WalkRound, picture: bytes) -> None:
    entry = photo(two, pickup, picture)
    put(two.client, entry["key"], picture, 0, len(picture))
    uploads.forget(UUID(entry["key"]))
    assert two.told(entry) == ["waiting"]
    assert offset(two.client, entry["key"]) == {"offset": 0, "complete": False}
    assert not Upload.objects.exists()


def test_on_the_disk_before_it_is_acknowledged(two: Tablet, picture: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file with each chunk, and its folder, which knows its name."""
    synced: list[str] = []
    real = parts.os.fsync

    def noted(handle: int) -> None:
        synced.append(Path(f"/proc/self/fd/{handle}").resolve().name)
        real(handle)

    monkeypatch.setattr(parts.os, "fsync", noted)
    key = uuid7()
    put(two.client, key, picture, 0, 100)
    assert synced == ["uploads", f"{key}.part"]
