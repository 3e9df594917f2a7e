"""A walk-round whole, begun or not, and the day: what a tablet puts by before the signal is gone."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from fleet.models import Branch, DueDate
from handover.rental.models import Rental
from handover.tablet.models import Receipt
from handover.walkround.actions import answer_check, walk_id_of
from handover.walkround.models import Mark, WalkRound
from shared.access.models import Person
from tests.factories import RentalFactory, UnitFactory, an_act
from tests.playing import go, start
from tests.tablet.conftest import asked, signed_in

NOON = datetime.fromisoformat("2026-08-14T11:00:00+00:00")


def bundle(client: Client, walk: WalkRound, **headers: str) -> HttpResponse:
    return client.get(f"/tablet/walk/{walk.pk}/", headers=headers)  # type: ignore[return-value]


def test_every_station_and_the_look_through(as_isla: Client, pickup: WalkRound) -> None:
    said = bundle(as_isla, pickup).json()
    assert (said["walk"], said["leg"], said["kind"], said["begun"]) == (
        str(pickup.pk), str(pickup.leg_id), "pickup", True,
    )  # fmt: skip
    assert [(row["number"], row["name"]) for row in said["stations"]] == [(1, "Filler"), (2, "Gas locker")]
    assert 'id="station-name">Gas locker' in said["stations"][1]["html"]
    assert "Unit 407" in said["mast"]
    assert 'id="ending"' in said["sign"]


def test_no_token_of_a_sign_in_is_kept(as_isla: Client, pickup: WalkRound) -> None:
    assert "csrfmiddlewaretoken" not in bundle(as_isla, pickup).text


def test_it_is_what_the_page_shows(as_isla: Client, pickup: WalkRound) -> None:
    page = as_isla.get(f"/walk/{pickup.pk}/station/1/").content.decode()
    part = bundle(as_isla, pickup).json()["stations"][0]["html"].partition('id="here"')[2][:300]
    assert part in page


def test_where_nothing_changed_nothing_is_sent(as_isla: Client, pickup: WalkRound) -> None:
    etag = bundle(as_isla, pickup).headers["ETag"]
    again = bundle(as_isla, pickup, **{"If-None-Match": etag})
    assert (again.status_code, again.content, again.headers["ETag"]) == (304, b"", etag)


def test_it_goes_packed_over_a_slow_network(as_isla: Client, pickup: WalkRound) -> None:
    plain = bundle(as_isla, pickup)
    packed = bundle(as_isla, pickup, **{"Accept-Encoding": "gzip"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert len(packed.content) < len(plain.content) / 4
    again = bundle(as_isla, pickup, **{"Accept-Encoding": "gzip", "If-None-Match": packed.headers["ETag"]})
    assert (packed.headers["ETag"], again.status_code) == (f"W/{plain.headers['ETag']}", 304)


@pytest.mark.parametrize("what", ["answer", "mark of the yard", "person", "language"])
def test_what_changes_it(what: str, as_isla: Client, isla: Person, pickup: WalkRound) -> None:
    etag = bundle(as_isla, pickup).headers["ETag"]
    if what == "answer":
        answer_check(pickup, item=asked(pickup, "Floor drain clear"), word="good", act=an_act(isla))
    elif what == "mark of the yard":
        Mark.objects.create(
            unit=pickup.leg.unit, number=7, station_number=2, kind="scratch", place="door", size_mm=40, x_mm=0, y_mm=0,
            found_at=NOON, found_by=isla,
        )  # fmt: skip
    else:
        Person.objects.update(**{"language": {"language": "de"}, "person": {"role": "manager"}}[what])
    assert bundle(as_isla, pickup, **{"If-None-Match": etag}).status_code == 200


def test_not_begun_it_has_its_id_already(as_isla: Client, booked: Rental, isla: Person) -> None:
    leg = booked.legs.get()
    said = as_isla.get(f"/tablet/walk/{leg.pk}/pickup/").json()
    assert (said["begun"], said["walk"]) == (False, str(walk_id_of(leg, "pickup")))
    assert f'action="/walk/{said["walk"]}/station/2/check/' in said["stations"][1]["html"]
    assert start(booked, "pickup", isla).pk == walk_id_of(leg, "pickup")
    assert not Receipt.objects.exists()


def test_begun_the_same_address_has_it(as_isla: Client, pickup: WalkRound) -> None:
    said = as_isla.get(f"/tablet/walk/{pickup.leg_id}/pickup/").json()
    assert (said["begun"], said["bundle"]) == (True, f"/tablet/walk/{pickup.leg_id}/pickup/")


def test_a_return_that_has_not_begun_asks_what_its_pickup_asked(as_isla: Client, booked: Rental, isla: Person) -> None:
    go(booked, isla, diesel="82")
    said = as_isla.get(f"/tablet/walk/{booked.legs.get().pk}/return/").json()
    assert said["begun"] is False
    assert "82" in said["stations"][0]["html"]


@pytest.mark.parametrize("kind", ["return", "lunch"])
def test_what_cannot_begin_is_not_there(kind: str, as_isla: Client, booked: Rental) -> None:
    assert as_isla.get(f"/tablet/walk/{booked.legs.get().pk}/{kind}/").status_code == 404


def test_of_another_branch_nothing_is_there(ida: Person, pickup: WalkRound) -> None:
    client = signed_in(ida)
    for address in (f"{pickup.pk}/", f"{pickup.leg_id}/pickup/"):
        assert client.get(f"/tablet/walk/{address}").status_code == 404


def asked_of_the_database(client: Client, address: str) -> int:
    with CaptureQueriesContext(connection) as queries:
        assert client.get(address).status_code == 200
    return len(queries)


def test_how_often_a_bundle_asks_the_database(as_isla: Client, pickup: WalkRound, booked: Rental) -> None:
    """Twelve stations ask no more than two: a walk-round is read once."""
    assert asked_of_the_database(as_isla, f"/tablet/walk/{pickup.pk}/") <= 22


@pytest.fixture
def noon(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """14 August, the day of the booking."""
    monkeypatch.setattr(timezone, "now", lambda: NOON)
    return iter(())


def test_the_day_lists_what_can_be_begun_and_gone_on_with(
    noon: Any, as_isla: Client, isla: Person, booked: Rental, inverlark: Branch
) -> None:
    under_way = start(RentalFactory(leg=UnitFactory(number="118")), "pickup", isla)
    back = RentalFactory(leg=UnitFactory(number="305"), planned_back_at=NOON + timedelta(hours=4))
    go(back, isla, diesel="82")
    said = as_isla.get("/tablet/day/").json()
    assert (said["branch"], said["date"]) == ("Inverlark", "2026-08-14")
    rows = {row["unit"]: row for row in said["walks"]}
    assert {unit: (row["kind"], row["begun"]) for unit, row in rows.items()} == {
        "407": ("pickup", False), "118": ("pickup", True), "305": ("return", False),
    }  # fmt: skip
    assert rows["118"]["address"] == f"/walk/{under_way.pk}/"
    assert rows["407"]["address"] == f"/rental/{booked.pk}/"
    assert (rows["407"]["plate"], rows["407"]["customer"], rows["407"]["at"]) == (
        "LRK 407", "Maren Oduya", "2026-08-14T09:00:00.000Z",
    )  # fmt: skip


def test_its_rows_name_the_bundles_that_are_there(noon: Any, as_isla: Client, booked: Rental, isla: Person) -> None:
    start(RentalFactory(leg=UnitFactory(number="118")), "pickup", isla)
    for row in as_isla.get("/tablet/day/").json()["walks"]:
        got = as_isla.get(row["bundle"])
        assert (got.json()["walk"], got.headers["ETag"]) == (row["walk"], row["etag"])


def test_what_is_done_is_not_listed(noon: Any, as_isla: Client, booked: Rental, isla: Person) -> None:
    go(booked, isla, diesel="82")
    assert as_isla.get("/tablet/day/").json()["walks"] == []


def test_what_cannot_begin_yet_says_why(noon: Any, as_isla: Client, booked: Rental) -> None:
    """Begun all the same, out of reach, it would be held: whoever stands there knows before."""
    DueDate.objects.create(unit=booked.legs.get().unit, kind="gas", due_on=NOON.date())
    [row] = as_isla.get("/tablet/day/").json()["walks"]
    assert row["barred"] == "Held: gas inspection due"


def test_what_can_begin_has_no_such_words(noon: Any, as_isla: Client, booked: Rental) -> None:
    [row] = as_isla.get("/tablet/day/").json()["walks"]
    assert row["barred"] == ""
