"""What a program is told: busy, another sign-in, unexpected; never a page, never half an acknowledgement."""

from typing import Any

import pytest
from django.db import OperationalError
from django.test import Client

from handover.tablet import receiving
from handover.tablet.models import Receipt
from handover.tablet.waiting import count_on, is_all_before
from handover.walkround.models import CheckAnswer, WalkRound
from handover.walkround.told import TOLD
from shared.access.models import Device
from tests.tablet.conftest import Tablet, asked, post


def good(tablet: Tablet, walk: WalkRound) -> dict[str, Any]:
    return tablet.says("check", walk, asked(walk, "Floor drain clear"), word="good")


def broken(*_: Any, **__: Any) -> Any:
    raise OperationalError("database is locked")


def test_a_busy_database_says_when_to_come_again(
    two: Tablet, pickup: WalkRound, monkeypatch: pytest.MonkeyPatch
) -> None:
    entry = good(two, pickup)
    monkeypatch.setitem(TOLD, "check", broken)
    answer = post(two.client, "/tablet/entries/", {"device": str(two.device.pk), "entries": [entry]})
    assert (answer.status_code, answer.json(), answer.headers["Retry-After"]) == (503, {"error": "busy"}, "2")
    assert "X-Outbox-Ack" not in answer.headers
    assert not Receipt.objects.exists()


def test_what_was_written_before_it_was_busy_is_a_duplicate_after(
    two: Tablet, pickup: WalkRound, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = good(two, pickup), two.says("count", pickup, asked(pickup, "straps"), present="2")
    with monkeypatch.context() as patch:
        patch.setitem(TOLD, "count", broken)
        assert two.send(first, second) == {"error": "busy"}
    assert two.told(first, second) == ["duplicate", "ok"]


def test_what_cannot_even_be_held_stays_on_the_tablet(
    two: Tablet, pickup: WalkRound, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    first, second = good(two, pickup), two.says("count", pickup, asked(pickup, "straps"), present="2")
    real = receiving._keep

    def keep(batch: Any, entry: Any, result: Any) -> None:
        if str(entry.key) == first["key"]:
            raise ValueError("no room")
        real(batch, entry, result)

    monkeypatch.setattr(receiving, "_keep", keep)
    assert two.told(first, second) == ["waiting", "ok"]
    assert "could not be taken" in caplog.text
    assert not CheckAnswer.objects.exists()


def test_entries_under_the_token_of_another_sign_in(two: Tablet, pickup: WalkRound) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(two.person)
    answer = post(client, "/tablet/entries/", {"device": str(two.device.pk), "entries": [good(two, pickup)]})
    assert (answer.status_code, answer.json()) == (403, {"error": "csrf"})
    assert not Receipt.objects.exists()


@pytest.mark.parametrize("address", ["/tablet/day/", "/tablet/hello/"])
def test_only_asked_for(address: str, as_isla: Client) -> None:
    assert as_isla.post(address).status_code == 405


def receipt(two: Tablet, *numbers: int) -> None:
    for number in numbers:
        two.last = number - 1
        two.send(two.says("weather", "01990000-0000-7000-8000-00000000000d", token=""))


def test_what_is_missing_before_a_number(two: Tablet) -> None:
    receipt(two, 1, 2, 4)
    device = Device.objects.get(pk=two.device.pk)
    assert [is_all_before(device, seq) for seq in (None, 1, 3, 4, 5)] == [True, True, True, False, False]
    assert device.contiguous_seq == 2


def test_what_counts_goes_on_after_the_gap_is_filled(two: Tablet, tablet_3: Device) -> None:
    receipt(two, 1, 3, 4)
    receipt(two, 2)
    assert (count_on(two.device), count_on(tablet_3)) == (4, 0)
