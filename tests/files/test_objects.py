"""Against a real server that speaks S3: make test-objectstore."""

import socket
from collections.abc import Iterator

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import storages
from pytest_django.fixtures import Settings

from shared.files.away import StoreAway
from shared.files.objects import ObjectEvidenceStorage
from shared.files.places import file_storages
from shared.files.store import Altered, keep, read, remove
from tests.files.store import FILES_URL, needs_store, new_bucket


@pytest.fixture
def bucket(settings: Settings) -> ObjectEvidenceStorage:
    settings.STORAGES = {**settings.STORAGES, **file_storages(new_bucket(), settings.VAR_DIR)}
    store = storages["evidence"]
    assert isinstance(store, ObjectEvidenceStorage)
    return store


@needs_store
def test_kept_is_read_back(bucket: ObjectEvidenceStorage) -> None:
    kept = keep(b"level", suffix=".txt")
    assert read(kept.name) == b"level"
    assert list(bucket.names()) == [kept.name]
    assert (bucket.exists(kept.name), bucket.size(kept.name)) == (True, 5)


@needs_store
def test_the_same_is_kept_once(bucket: ObjectEvidenceStorage) -> None:
    first = keep(b"level")
    written = bucket.bucket.Object(first.name).last_modified
    assert keep(b"level") == first
    assert bucket.bucket.Object(first.name).last_modified == written
    assert len(list(bucket.names())) == 1


@needs_store
def test_altered_is_refused_and_made_good(bucket: ObjectEvidenceStorage) -> None:
    kept = keep(b"level")
    bucket.bucket.Object(kept.name).put(Body=b"Level")
    with pytest.raises(Altered):
        read(kept.name)
    keep(b"level")
    assert read(kept.name) == b"level"


@needs_store
def test_gone_is_gone(bucket: ObjectEvidenceStorage) -> None:
    kept = keep(b"level")
    remove(kept.name)
    remove(kept.name)
    assert not bucket.exists(kept.name)
    with pytest.raises(FileNotFoundError):
        read(kept.name)


@needs_store
def test_a_large_photo_comes_back_whole(bucket: ObjectEvidenceStorage) -> None:
    data = bytes(range(256)) * 48_000
    assert read(keep(data, suffix=".jpg").name) == data


@needs_store
def test_bytes_that_are_not_those_of_the_digest_are_not_taken(
    bucket: ObjectEvidenceStorage, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As when a proxy spoils them: the store reckons the digest again and keeps nothing."""
    monkeypatch.setattr("shared.files.objects.base64.b64encode", lambda _digest: b"AAAAAAAAAAAAAAAAAAAAAA==")
    with pytest.raises(StoreAway):
        keep(b"level")
    assert list(bucket.names()) == []


@needs_store
def test_folders_and_a_prefix(settings: Settings) -> None:
    address = new_bucket()
    store = ObjectEvidenceStorage(f"{address}&prefix=yard")
    store.save("ab/one", ContentFile(b"1"))
    assert store.listdir("ab") == ([], ["one"])
    assert (list(store.names()), list(ObjectEvidenceStorage(address).names())) == (["ab/one"], ["yard/ab/one"])


@needs_store
def test_a_bucket_that_is_not_there_is_told(settings: Settings) -> None:
    address = FILES_URL.replace("/levelpeg?", "/nowhere?")
    settings.STORAGES = {**settings.STORAGES, **file_storages(address, settings.VAR_DIR)}
    with pytest.raises(StoreAway):
        keep(b"level")


@pytest.fixture
def silent() -> Iterator[int]:
    """A port that takes a connection and never answers."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        yield server.getsockname()[1]


def test_a_store_that_does_not_answer_is_told_in_a_sentence(silent: int) -> None:
    store = ObjectEvidenceStorage(f"s3://a:b@127.0.0.1:{silent}/yard?secure=0", timeout_s=0.2, attempts=1)
    with pytest.raises(StoreAway) as told:
        store.open("ab/one")
    assert "can neither be read" in told.value.sentence
    with pytest.raises(StoreAway):
        store.save("ab/one", ContentFile(b"1"))


def test_a_store_that_is_away_is_told(silent: int) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
    store = ObjectEvidenceStorage(f"s3://a:b@127.0.0.1:{port}/yard?secure=0", timeout_s=0.2, attempts=1)
    with pytest.raises(StoreAway):
        store.exists("ab/one")
