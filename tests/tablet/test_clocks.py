"""A tablet's clock may be wrong: the server's counts, and nothing happens in the time to come."""

from datetime import UTC, datetime, timedelta, timezone

from django.utils import timezone as now_of

from handover.tablet.entry import corrected
from handover.tablet.models import Receipt
from handover.walkround.models import CheckAnswer, WalkRound
from tests.tablet.conftest import Tablet, asked

NOON = datetime(2026, 8, 14, 12, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


def test_a_clock_that_is_ahead_is_set_back() -> None:
    assert corrected(NOON, skew=HOUR, now=NOON) == NOON - HOUR


def test_a_clock_that_is_behind_is_set_on() -> None:
    assert corrected(NOON - 2 * HOUR, skew=-HOUR, now=NOON) == NOON - HOUR


def test_nothing_happens_in_the_time_to_come() -> None:
    assert corrected(NOON + HOUR, skew=timedelta(), now=NOON) == NOON


def test_a_clock_that_was_never_set_says_nothing() -> None:
    assert corrected(datetime(1970, 1, 1, tzinfo=UTC), skew=timedelta(), now=NOON) == NOON


def test_a_month_away_is_still_a_time() -> None:
    away = NOON - timedelta(days=31)
    assert corrected(away, skew=timedelta(), now=NOON) == away


def test_the_ends_of_the_calendar() -> None:
    first = datetime(1, 1, 1, tzinfo=timezone(timedelta(hours=14)))
    last = datetime(9999, 12, 31, 23, 59, tzinfo=timezone(timedelta(hours=-14)))
    for when in (first, last):
        for skew in (timedelta(days=9000), timedelta(days=-9000)):
            assert corrected(when, skew=skew, now=NOON) == NOON


def test_an_answer_has_the_servers_time(two: Tablet, pickup: WalkRound) -> None:
    two.ahead = 3 * HOUR
    ago = now_of.now() - timedelta(minutes=20)
    two.send(two.says("check", pickup, asked(pickup, "Floor drain clear"), word="good", at=ago))
    assert abs(CheckAnswer.objects.get().at - ago) < timedelta(minutes=1)
    assert abs(Receipt.objects.get().skew_ms - 3 * 3_600_000) < 60_000


def test_a_batch_without_a_time_is_taken_as_it_says(two: Tablet, pickup: WalkRound) -> None:
    from tests.tablet.conftest import post

    entry = two.says("check", pickup, asked(pickup, "Floor drain clear"), word="good")
    for now in (None, "noon", "2026-08-14T12:00:00", 7):
        answer = post(two.client, "/tablet/entries/", {"device": str(two.device.pk), "now": now, "entries": [entry]})
        assert answer.json()["acks"][0]["status"] in {"ok", "duplicate"}
    assert Receipt.objects.get().skew_ms == 0
