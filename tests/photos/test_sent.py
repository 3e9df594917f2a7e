"""What a tablet says beside the bytes of a photo: checked where it can be, never a reason to lose the photo."""

from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone

from handover.acting import CannotBe
from handover.photo.sent import Sent, sent_of
from handover.walkround.fields import Fields
from shared.canonical import sha256_hex

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture(autouse=True)
def noon(monkeypatch):
    monkeypatch.setattr(timezone, "now", lambda: NOON)


def fields(**said):
    return Fields({name: [value] for name, value in said.items()})


def test_bytes_that_changed_on_the_way_are_refused():
    with pytest.raises(CannotBe, match="changed on its way") as refused:
        Sent(sha256=sha256_hex(b"taken")).check(b"arrived")
    assert refused.value.field == "photo"


@pytest.mark.parametrize("said", ["", sha256_hex(b"taken")])
def test_bytes_as_they_were_taken_pass_and_so_do_those_nobody_digested(said):
    Sent(sha256=said).check(b"taken")


def test_what_the_tablet_says_is_read():
    sent = sent_of(fields(sha256=" AB12 ", taken_at="2026-11-25T11:00:00Z"), skew_ms=90_000)
    assert (sent.sha256, sent.taken_at, sent.skew_ms) == ("ab12", NOON - timedelta(hours=1), 90_000)


@pytest.mark.parametrize("said", ["", "yesterday", "2026-13-45T99:00:00Z", "2026-11-25T11:00:00", "0"])
def test_a_time_that_cannot_be_read_is_not_said(said):
    assert sent_of(fields(taken_at=said)).taken_at is None


def test_the_clock_of_the_tablet_is_put_right():
    sent = Sent(taken_at=NOON - timedelta(minutes=10), skew_ms=-120_000)
    assert sent.by_our_clock() == NOON - timedelta(minutes=8)


def test_nothing_is_taken_tomorrow():
    assert Sent(taken_at=NOON + timedelta(days=1)).by_our_clock() == NOON


def test_a_clock_that_was_never_set_says_no_time():
    assert Sent(taken_at=datetime(1970, 1, 1, tzinfo=UTC)).by_our_clock() is None
    assert Sent().by_our_clock() is None
