"""Beginning a walk-round from the rental's page."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client
from django.utils import timezone

from fleet.models import DueDate
from handover.rental.models import Rental
from handover.walkround.models import WalkRound
from shared.ids import uuid7


def begin(client: Client, rental: Rental, kind: str, **said: Any) -> HttpResponse:
    return client.post(f"/rental/{rental.pk}/begin-{kind}/", {"key": uuid7(), **said})  # type: ignore[return-value]


def test_pickup_begins_its_walk_round(as_isla: Client, booked: Rental) -> None:
    answer = begin(as_isla, booked, "pickup")
    assert answer.url == f"/walk/{WalkRound.objects.get().pk}/"  # type: ignore[attr-defined]


def test_pressed_twice_begins_once(as_isla: Client, booked: Rental) -> None:
    key = uuid7()
    first, second = (begin(as_isla, booked, "pickup", key=key) for _ in range(2))
    assert first.url == second.url  # type: ignore[attr-defined]
    assert WalkRound.objects.count() == 1


def test_a_held_unit_stays(as_isla: Client, booked: Rental) -> None:
    DueDate.objects.create(unit=booked.legs.get().unit, kind="gas", due_on=date(2026, 8, 16))
    answer = begin(as_isla, booked, "pickup")
    assert answer.status_code == 422
    assert "Unit 407 stays: gas inspection is due" in answer.text  # type: ignore[attr-defined]


def test_pickup_needs_its_right(as_callum: Client, booked: Rental) -> None:
    assert begin(as_callum, booked, "pickup").status_code == 403


def test_return_begins_with_the_arrival(as_callum: Client, out: Rental) -> None:
    begin(as_callum, out, "return", arrived_at="2026-08-18T11:47", mode="absent")
    walk = WalkRound.objects.get(kind="return")
    assert f"{walk.arrived_at:%d %H:%M}" == "18 10:47"
    assert walk.mode == "absent"


@pytest.mark.parametrize(
    ("arrived_at", "sentence"),
    [
        ("", "Say when it was at the gate."),
        ("quarter to twelve", "quarter to twelve is no date and time. Write it as 2026-08-18T11:30."),
        ("2026-08-13T11:47", "It left on 14 Aug 09:00; it cannot be back before that."),
        ("2026-03-29T01:30", "the clocks went forward over it"),
    ],
)
def test_an_arrival_that_cannot_be(as_callum: Client, out: Rental, arrived_at: str, sentence: str) -> None:
    answer = begin(as_callum, out, "return", arrived_at=arrived_at, mode="attended")
    assert answer.status_code == 422
    assert sentence in answer.text  # type: ignore[attr-defined]
    assert f'value="{arrived_at}"' in answer.text or not arrived_at  # type: ignore[attr-defined]


def test_an_arrival_still_to_come(as_callum: Client, out: Rental) -> None:
    tomorrow = f"{timezone.now() + timedelta(days=1):%Y-%m-%dT%H:%M}"
    assert "That is still to come." in begin(as_callum, out, "return", arrived_at=tomorrow, mode="attended").text  # type: ignore[attr-defined]


def test_a_return_before_the_pickup(as_callum: Client, booked: Rental) -> None:
    answer = begin(as_callum, booked, "return", arrived_at="2026-08-18T11:47", mode="attended")
    assert f"{booked.number} is booked: no return can begin now." in answer.text  # type: ignore[attr-defined]


def test_without_a_key_nothing_begins(as_isla: Client, booked: Rental) -> None:
    answer = begin(as_isla, booked, "pickup", key="")
    assert answer.status_code == 422
    assert not WalkRound.objects.exists()


@pytest.mark.parametrize("kind", ["pickup", "return"])
def test_another_branch_is_not_there(as_ida: Client, booked: Rental, kind: str) -> None:
    assert begin(as_ida, booked, kind).status_code == 404


@pytest.mark.parametrize("kind", ["pickup", "return"])
def test_only_by_post(as_isla: Client, booked: Rental, kind: str) -> None:
    assert as_isla.get(f"/rental/{booked.pk}/begin-{kind}/").status_code == 405
