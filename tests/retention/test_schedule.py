"""What is due when, and what keeps it. Pure: no database."""

from datetime import date, timedelta
from uuid import UUID

import pytest

from handover.retention.kinds import DAYS, MOST_DAYS, OF_THE_VEHICLE, Kind
from handover.retention.schedule import EVERY_KIND, Hold, Verdict, judged, kept_rows

ENDED = date(2026, 8, 18)
ONE, OTHER = UUID(int=1), UUID(int=2)


def of(kind: Kind, *, today: date, **said: object) -> Verdict:
    return next(row for row in judged(DAYS, ended=ENDED, today=today, **said) if row.kind is kind)  # type: ignore[arg-type]


def test_every_kind_has_its_days() -> None:
    assert set(DAYS) == set(Kind)
    assert all(1 <= days <= MOST_DAYS for days in DAYS.values())
    assert OF_THE_VEHICLE < EVERY_KIND


@pytest.mark.parametrize(("today", "is_due"), [("2026-09-16", False), ("2026-09-17", True), ("2026-09-18", True)])
def test_thirty_days_after_18_august_is_17_september(today: str, is_due: bool) -> None:
    verdict = of(Kind.PLACES, today=date.fromisoformat(today))
    assert (verdict.due_on, verdict.is_due, verdict.goes) == (date(2026, 9, 17), is_due, is_due)


def test_days_are_counted_over_a_leap_day() -> None:
    (row, *_) = judged(dict.fromkeys(Kind, 1), ended=date(2028, 2, 28), today=date(2028, 2, 29))
    assert (row.due_on, row.goes) == (date(2028, 2, 29), True)


def test_a_hold_keeps_what_it_names_and_nothing_else() -> None:
    hold = Hold("A claim", date(2027, 1, 31), frozenset({Kind.NAME}))
    late = ENDED + timedelta(days=4000)
    assert of(Kind.NAME, today=late, holds=[hold]).hold == hold
    assert not of(Kind.NAME, today=late, holds=[hold]).goes
    assert of(Kind.PHONE, today=late, holds=[hold]).goes


def test_of_several_holds_the_one_without_an_end_is_told() -> None:
    until, for_good = Hold("Until May", date(2027, 5, 1)), Hold("Not settled", None)
    assert of(Kind.NAME, today=ENDED, holds=[for_good, until]).hold == for_good
    assert of(Kind.NAME, today=ENDED, holds=[until, Hold("Until March", date(2027, 3, 1))]).hold == until


def test_rows_of_all_holds_are_kept() -> None:
    holds = [Hold("1", None, frozenset(), frozenset({ONE})), Hold("2", None, frozenset(), frozenset({OTHER}))]
    assert kept_rows(holds) == {ONE, OTHER}
    assert kept_rows([]) == frozenset()


@pytest.mark.parametrize(
    ("erased", "goes"), [("2026-09-17", False), ("2026-08-20", False), ("2026-08-18", True), ("2026-08-01", True)]
)
def test_what_went_after_the_end_is_not_due_again(erased: str, goes: bool) -> None:
    """What went before, or on the day itself, may have been followed by more."""
    gone = {Kind.PLACES: date.fromisoformat(erased)}
    assert of(Kind.PLACES, today=date(2026, 10, 1), erased=gone).goes is goes
