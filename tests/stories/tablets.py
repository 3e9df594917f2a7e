"""A tablet without a network: what is done on it is kept with its time, and sent when there is a signal again."""

from datetime import datetime
from typing import Any

from handover.rental.models import Rental
from handover.tablet.devices import device_of
from handover.walkround.actions import walk_id_of
from shared.access.models import Person
from shared.canonical import canonical_text, digest, sha256_hex
from tests.stories.steps import DRAWN
from tests.tablet.conftest import TABLET_2, TABLET_3, Tablet

Entry = dict[str, Any]
NUMBERED = {2: TABLET_2, 3: TABLET_3}


def tablet(number: int, host: Person) -> Tablet:
    return Tablet(device_of(NUMBERED[number], host), host)


def begins(device: Tablet, rental: Rental, when: datetime) -> Entry:
    leg = rental.legs.get()
    walk = walk_id_of(leg, "pickup")
    parts: Any = {"key": str(walk), "station": None, "fields": {"kind": "pickup"}}
    return device.says("begin", walk, leg.pk, at=when, **parts)


def photographs(device: Tablet, walk: Any, data: bytes, when: datetime) -> Entry:
    fields = {"sha256": sha256_hex(data), "size": str(len(data)), "subject": "", "taken_at": when.isoformat()}
    return device.says("photo", walk, at=when, fields=fields)


def hands_over(device: Tablet, walk: Any, rows: list[Entry], when: datetime) -> Entry:
    """Both signed what the tablet showed: `rows` are the answers on its screen."""
    document = {
        "walk": str(walk), "unit": "Unit 407", "remark": "", "photos": [],
        "stations": [{"number": 2, "name": "Gas locker", "rows": rows}],
    }  # fmt: skip
    shown = canonical_text({**document, "at": when.isoformat()})
    fields = {
        "name_customer": "Maren Oduya", "strokes_customer": DRAWN, "strokes_staff": DRAWN, "shown": shown,
        "shown_sha256": digest(document),
    }  # fmt: skip
    return device.says("hand-over", walk, at=when, station=None, fields=fields)


def uploads(device: Tablet, entry: Entry, data: bytes) -> None:
    """The bytes of a photo, which go ahead of its entry."""
    digest_of = sha256_hex(data)
    address = f"/tablet/uploads/{entry['key']}/?offset=0&size={len(data)}&sha={digest_of}"
    headers = {"X-Chunk-Sha256": digest_of}
    sent = device.client.put(address, data, content_type="application/octet-stream", headers=headers)
    assert sent.json()["complete"]
