"""Bookings in: each once, however often it is sent, and each answered for itself."""

from typing import Any

import pytest
from django.utils import timezone

from fleet.models import Unit
from handover.api import bookings, keys
from handover.api.models import ApiKey, ApiToken
from handover.api.tokens import caller_of
from handover.rental.models import Rental
from shared.ledger.models import Entry
from tests.api.made import Program
from tests.factories import UnitFactory


def test_a_booking_comes_in(program: Program, token: ApiToken, booking: dict[str, Any]):
    answer = program.post("/bookings", booking)
    assert answer.status_code == 201
    rental = Rental.objects.get(pk=answer.json()["id"])
    assert answer["Location"] == answer.json()["href"] == f"/api/v1/rentals/{rental.pk}"
    assert (rental.outside_reference, rental.customer.name, rental.deposit_held) == ("B-88213", "Maren Oduya", 500)
    assert rental.extras.get().name == "20 L"
    entry = Entry.objects.get(chain=rental.pk, kind="rental.booked")
    assert (entry.actor_id, entry.device) == (token.service_id, "api")


def test_sent_again_it_is_answered_as_before(program: Program, booking: dict[str, Any]):
    first, again = program.post("/bookings", booking), program.post("/bookings", booking)
    assert (first.status_code, first.content) == (again.status_code, again.content)
    assert "Idempotent-Replayed" not in first
    assert again["Idempotent-Replayed"] == "true"
    assert Rental.objects.count() == 1


def test_a_key_stands_for_one_body(program: Program, booking: dict[str, Any]):
    program.post("/bookings", booking)
    answer = program.post("/bookings", booking | {"charged_days": 5})
    assert answer.status_code == 409
    assert answer["Content-Type"] == "application/problem+json"
    assert Rental.objects.count() == 1


def test_what_is_refused_keeps_no_key(program: Program, booking: dict[str, Any]):
    assert program.post("/bookings", booking | {"unit": "999"}).status_code == 422
    assert not ApiKey.objects.exists()
    assert program.post("/bookings", booking).status_code == 201


@pytest.mark.parametrize(
    ("changed", "pointer", "words"),
    [
        ({"unit": "999"}, "/unit", "Inverlark has no unit 999."),
        ({"branch": "port-averil"}, "/branch", "This token is for no branch port-averil."),
        ({"planned_back_at": "2026-08-14T09:00:00+01:00"}, "/planned_back_at", "The return lies before the pickup."),
        ({"extras": ["fuel-20", "tent"]}, "/extras/1", "Inverlark sells no Extra tent."),
        ({"extras": ["fuel-20", "fuel-20"]}, "/extras/1", "fuel-20 is named twice."),
        ({"customer": {"name": "Maren", "email": "maren"}}, "/customer/email", "maren is no e-mail address"),
        ({"customer": {"name": " "}}, "/customer/name", "A rental needs the customer"),
        ({"deposit": "500.005"}, "/deposit", ""),
    ],
)
def test_what_cannot_be_is_said_where_it_stands(
    program: Program, booking: dict[str, Any], changed: dict[str, Any], pointer: str, words: str
):
    answer = program.post("/bookings", booking | changed)
    assert answer.status_code == 422
    (error,) = answer.json()["errors"]
    assert error["pointer"] == pointer
    assert error["detail"].startswith(words)


def test_a_shape_that_does_not_fit_names_every_place(program: Program, booking: dict[str, Any]):
    answer = program.post("/bookings", booking | {"charged_days": 0, "customer": {"name": "a\x00"}, "more": 1})
    assert answer.status_code == 422
    assert {error["pointer"] for error in answer.json()["errors"]} == {"/charged_days", "/customer/name", "/more"}


def test_of_two_at_once_one_books(made: tuple[ApiToken, str], monkeypatch: pytest.MonkeyPatch):
    """Both looked before either wrote: the second finds the key taken, its act is undone, and it gets the answer."""
    caller = caller_of(made[1], now=timezone.now())
    assert caller
    keys.once(caller, key="k", body={}, act=lambda: {"id": "first"})
    looked, found = [], keys._earlier

    def too_early(*said: Any) -> Any:
        looked.append(said)
        return None if len(looked) == 1 else found(*said)

    monkeypatch.setattr(keys, "_earlier", too_early)
    assert keys.once(caller, key="k", body={}, act=_a_unit) == ({"id": "first"}, True)
    assert not Unit.objects.filter(number="499").exists()


def _a_unit() -> dict[str, str]:
    return {"id": str(UnitFactory(number="499").pk)}


def test_a_booking_needs_a_key(program: Program, booking: dict[str, Any]):
    answer = program.send("POST", "/bookings", booking)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["parameter"] == "Idempotency-Key"


def test_many_come_in_each_for_itself(program: Program, booking: dict[str, Any]):
    UnitFactory(number="305")
    rows = [
        booking | {"key": "a"},
        booking | {"key": "b", "reference": "B-2"},
        booking | {"key": "c", "reference": "B-3", "unit": "305"},
        booking | {"key": "a"},
        booking | {"key": "a", "charged_days": 9},
    ]
    answer = program.send("POST", "/bookings/bulk", {"bookings": rows})
    assert answer.status_code == 200
    results = answer.json()["results"]
    assert [row["outcome"] for row in results] == ["booked", "refused", "booked", "already", "refused"]
    assert results[1]["pointer"] == "/unit"
    assert "is out for" in results[1]["detail"]
    assert results[0]["booking"] == results[3]["booking"]
    assert Rental.objects.count() == 2


def test_a_row_and_a_booking_share_their_keys(program: Program, booking: dict[str, Any]):
    program.post("/bookings", booking, key="a")
    answer = program.send("POST", "/bookings/bulk", {"bookings": [booking | {"key": "a"}]})
    assert answer.json()["results"][0]["outcome"] == "already"


def test_more_than_500_are_too_many(program: Program, booking: dict[str, Any]):
    answer = program.send("POST", "/bookings/bulk", {"bookings": [booking | {"key": "a"}] * 501})
    assert answer.status_code == 422


def test_what_there_is_no_time_for_is_told(program: Program, booking: dict[str, Any], monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(bookings, "LONGEST_S", -1)
    answer = program.send("POST", "/bookings/bulk", {"bookings": [booking | {"key": "a"}]})
    assert answer.json()["results"][0]["outcome"] == "later"
    assert not Rental.objects.exists()


def test_no_name_stays_beside_a_key(program: Program, booking: dict[str, Any]):
    program.post("/bookings", booking)
    kept = ApiKey.objects.get()
    assert "Maren" not in str(kept.answer)
    assert "B-88213" not in str(kept.answer)


def changed(program: Program, rental: Rental, terms: dict[str, Any], etag: str | None = None) -> Any:
    path = f"/rentals/{rental.pk}"
    return program.send("PATCH", path, terms, if_match=etag or program.get(path)["ETag"])


def test_a_booking_is_changed(program: Program, booked: Rental):
    answer = changed(program, booked, {"charged_days": 5, "deposit": "750.00"})
    assert answer.status_code == 200
    assert (answer.json()["charged_days"], answer.json()["deposit"]) == (5, "750.00")
    assert Entry.objects.filter(chain=booked.pk, kind="rental.changed").exists()


def test_a_change_names_the_version_that_it_knows(program: Program, booked: Rental):
    etag = program.get(f"/rentals/{booked.pk}")["ETag"]
    assert program.send("PATCH", f"/rentals/{booked.pk}", {"charged_days": 5}).status_code == 428
    assert changed(program, booked, {"charged_days": 5}, etag).status_code == 200
    assert changed(program, booked, {"charged_days": 6}, etag).status_code == 412
    booked.refresh_from_db()
    assert booked.charged_days == 5


def test_what_is_gone_changes_no_more(program: Program, booked: Rental):
    Rental.objects.filter(pk=booked.pk).update(state="out")
    answer = changed(program, booked, {"charged_days": 5})
    assert answer.status_code == 422
    assert "stay as they were signed" in answer.json()["detail"]


def test_a_retired_unit_is_not_booked(program: Program, booking: dict[str, Any], unit_407: Unit):
    Unit.objects.update(retired=True)
    assert program.post("/bookings", booking).json()["errors"][0]["pointer"] == "/unit"
