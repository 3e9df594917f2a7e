"""The whole way of a photo, a record, a letter and a bundle where files lie in a bucket: make test-objectstore."""

from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest
from django.core.files.storage import storages
from django.test import Client
from django.urls import reverse
from pytest_django.fixtures import Settings

from handover.dispute.models import Bundle, Dispute, Letter
from handover.photo.models import Photo
from handover.record.keys import trusted_roots
from handover.record.models import Record
from handover.record.verify import verify
from handover.walkround.models import WalkRound
from shared.files.places import file_storages
from shared.files.store import read
from tests.dispute.conftest import a_door, clock, come_back, committed, contest, go, settle, shots, the_door  # noqa: F401
from tests.dispute.test_bundle import bundle  # noqa: F401 a fixture
from tests.factories import ReturnBayFactory
from tests.files.store import needs_store, new_bucket
from tests.tablet.conftest import Tablet, pickup, tablet_2, two  # noqa: F401 fixtures
from tests.tablet.test_uploads import photo, picture, put  # noqa: F401 a fixture

pytestmark = [pytest.mark.django_db, needs_store]


@pytest.fixture(autouse=True)
def bucket(settings: Settings, tmp_path: Path) -> None:
    """Nothing is kept on this machine: the folders that the settings name cannot be made."""
    settings.FILES_URL = new_bucket()
    settings.STORAGES = {**settings.STORAGES, **file_storages(settings.FILES_URL, tmp_path)}
    (tmp_path / "file").touch()
    settings.UPLOADS_DIR = tmp_path / "file" / "uploads"


@pytest.fixture
def dispute(bucket: None, db: None, shots: tuple[bytes, bytes]) -> Dispute:  # noqa: F811
    """Made for this test alone: its photos lie in the bucket too."""
    door = a_door()
    rental = go(door, shots[0])
    come_back(rental, ReturnBayFactory(), door=door, shot=shots[1])
    return contest(the_door(settle(rental)))


def test_records_letter_and_bundle(bundle: Bundle, ruth: object, client: Client) -> None:  # noqa: F811
    client.force_login(ruth)  # type: ignore[arg-type]
    records = list(Record.objects.all())
    assert [(record.state, record.problem) for record in records] == [("ready", "")] * len(records)
    for record in records:
        assert verify(read(record.file), roots=trusted_roots()).valid
    assert read(Letter.objects.get().file).startswith(b"%PDF")
    with ZipFile(BytesIO(read(bundle.file))) as packed:
        assert packed.testzip() is None
    one = Photo.objects.first()
    assert one
    shown = client.get(reverse("photo", kwargs={"pk": one.pk}))
    assert (shown.status_code, bytes(shown.content)) == (200, read(one.display))
    kept = set(storages["evidence"].names())  # type: ignore[attr-defined]
    assert {bundle.file, one.original, *(record.file for record in records)} <= kept


def test_a_photo_in_chunks(two: Tablet, pickup: WalkRound, picture: bytes) -> None:  # noqa: F811
    entry, half = photo(two, pickup, picture), len(picture) // 2
    assert put(two.client, entry["key"], picture, 0, half).json() == {"offset": half, "complete": False}
    assert put(two.client, entry["key"], picture, half, len(picture)).json()["complete"]
    assert two.told(entry) == ["ok"]
    taken = Photo.objects.get()
    assert read(taken.display)
    assert not any(name.startswith("uploads/") for name in storages["evidence"].names())  # type: ignore[attr-defined]
