"""Each kind of value that a document holds: what it reads, what it refuses, and the words of it."""

from collections.abc import Callable
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from handover.charges.document.intake import Intake, Kind, RefusedError, read_key
from handover.charges.document.kinds import (
    NOT_READ,
    Moment,
    above_zero,
    anything,
    clock_time,
    day,
    decimal,
    flag,
    list_of,
    map_of,
    moment,
    one_of,
    optional,
    reading,
    text,
    whole,
)

BERLIN = ZoneInfo("Europe/Berlin")


def read(kind: Kind, value: object) -> Any:
    intake = Intake(BERLIN, [])
    answer = kind(value, "at", intake)
    assert intake.problems == []
    return answer


def refused(kind: Kind, value: object) -> str:
    with pytest.raises(RefusedError) as told:
        kind(value, "at", Intake(BERLIN, []))
    return str(told.value)


def inside(kind: Kind, value: object) -> list[str]:
    """The problems noted inside a list or an object, which then is refused without a word of its own."""
    intake = Intake(BERLIN, [])
    assert read_key(kind, value, "at", intake) == (False, None)
    return [str(problem) for problem in intake.problems]


@pytest.mark.parametrize(
    ("value", "number"), [("12.50", "12.50"), (7, "7"), (Decimal("1E+2"), "100"), ("0", "0"), (Decimal("0.10"), "0.10")]
)
def test_a_number_is_kept_exactly(value: object, number: str) -> None:
    assert str(read(decimal(), value)) == number


def test_a_number_may_be_below_zero_where_that_can_be() -> None:
    assert read(decimal(None), "-3.5") == Decimal("-3.5")
    assert refused(decimal(), "-3.5") == "-3.5 is below 0, which cannot be; 0 or more can."
    assert refused(decimal(), -1) == "-1 is below 0, which cannot be; 0 or more can."


def test_a_number_has_its_bounds_inside() -> None:
    assert [read(decimal(2, 5), value) for value in (2, 5)] == [2, 5]
    assert refused(decimal(2, 5), "1.9") == "1.9 is below 2, which cannot be; 2 or more can."
    assert refused(decimal(2, 5), "5.1") == "5.1 is above 5, which cannot be; 5 or less can."


def test_a_number_out_of_its_bounds_has_a_likely_meaning() -> None:
    kind = decimal(0, 1, hint='"0.20" is 20 %.')
    assert refused(kind, 20) == '20 is above 1, which cannot be; 1 or less can. "0.20" is 20 %.'
    assert refused(kind, -1) == '-1 is below 0, which cannot be; 0 or more can. "0.20" is 20 %.'


@pytest.mark.parametrize(
    ("value", "said"),
    [(True, "true"), (False, "false"), (None, "null"), ([], "a list"), ({}, "an object"), (1.5, "the number 1.5")],
)
def test_what_is_no_number_at_all(value: object, said: str) -> None:
    assert refused(decimal(), value) == f'This is {said}; a decimal string such as "12.50" is needed.'


@pytest.mark.parametrize("value", ["12,50", "1e3", "", " 1", "1.", ".5", "+1", "1234567890123", "1.1234567890123", "½"])
def test_what_is_no_plain_number(value: str) -> None:
    sentence = f'"{value}" is not a plain number; write it like "12.50", with a point and no unit.'
    assert refused(decimal(None), value) == sentence


def test_the_longest_number() -> None:
    assert str(read(decimal(), "123456789012.123456789012")) == "123456789012.123456789012"


def test_what_is_divided_by_is_above_zero() -> None:
    assert read(above_zero(), "0.1") == Decimal("0.1")
    assert refused(above_zero(), 0) == "0 cannot be; it has to be above 0."
    assert refused(above_zero("Litres."), "-1") == "-1 cannot be; it has to be above 0. Litres."
    assert refused(above_zero(), "x").startswith('"x" is not a plain number')


def test_a_count_is_whole() -> None:
    count = read(whole(), "7.0")
    assert (count, type(count)) == (7, int)
    assert read(whole(), 0) == 0
    assert refused(whole(), "1.5") == "1.5 is not a whole number; only whole numbers count here."
    assert refused(whole(), -1) == "-1 is below 0, which cannot be; 0 or more can."
    assert refused(whole(1, "One."), 0) == "0 is below 1, which cannot be; 1 or more can. One."
    assert refused(whole(), None).startswith("This is null;")


def test_yes_or_no() -> None:
    assert (read(flag, True), read(flag, False)) == (True, False)
    assert refused(flag, 1) == "This is the number 1; only true or false can be here."
    assert refused(flag, "yes") == 'This is "yes"; only true or false can be here.'


def test_words() -> None:
    assert read(text, " a gate ") == " a gate "
    assert refused(text, "  ") == 'This is "  "; words in quotation marks are needed.'
    assert refused(text, 5) == "This is the number 5; words in quotation marks are needed."


def test_a_choice() -> None:
    assert read(one_of("km", "mi"), "mi") == "mi"
    assert refused(one_of("km", "mi"), "miles") == '"miles" is none of the choices here: km, mi.'
    assert refused(one_of("km", "mi"), 5) == "the number 5 is none of the choices here: km, mi."
    assert refused(one_of("km"), ["km"]) == "a list is none of the choices here: km."


def test_null_is_none_or_not_read() -> None:
    assert read(optional(decimal()), None) is None
    assert read(optional(decimal()), "3") == 3
    assert read(reading(decimal()), None) is NOT_READ
    assert read(reading(decimal()), "3") == 3
    assert refused(optional(decimal()), -1) == refused(reading(decimal()), -1) == refused(decimal(), -1)


def test_what_is_wrong_inside_is_told_where_it_stands() -> None:
    for kind in (optional(list_of(text)), reading(list_of(text)), list_of(text)):
        assert inside(kind, [5]) == ["at[0]: This is the number 5; words in quotation marks are needed."]
    assert inside(list_of(list_of(text)), [[""]]) == ['at[0][0]: This is ""; words in quotation marks are needed.']
    assert inside(map_of(list_of(text)), {"a": [""]}) == ['at.a[0]: This is ""; words in quotation marks are needed.']


def test_anything() -> None:
    assert read(anything, [1, {"a": None}]) == [1, {"a": None}]


def test_a_list() -> None:
    assert read(list_of(whole()), [1, "2"]) == (1, 2)
    assert read(list_of(whole()), ()) == ()
    assert refused(list_of(whole()), "1") == 'This is "1"; a list in brackets is needed.'


def test_every_item_of_a_list_is_told() -> None:
    assert inside(list_of(whole()), [1, -1, "x"]) == [
        "at[1]: -1 is below 0, which cannot be; 0 or more can.",
        'at[2]: "x" is not a plain number; write it like "12.50", with a point and no unit.',
    ]


def test_an_object_of_names_of_its_own() -> None:
    assert read(map_of(whole()), {"chip": 4, "dent": "2"}) == {"chip": 4, "dent": 2}
    assert refused(map_of(whole()), [1]) == "This is a list; an object in braces is needed here."


def test_every_item_of_an_object_is_told() -> None:
    assert inside(map_of(whole()), {"a": -1, "b": 1, "": 1}) == [
        'at.: This is ""; words in quotation marks are needed.',
        "at.a: -1 is below 0, which cannot be; 0 or more can.",
    ]
    assert inside(map_of(whole()), {"a": -1}) == ["at.a: -1 is below 0, which cannot be; 0 or more can."]


def test_an_object_whose_names_are_a_choice() -> None:
    kind = map_of(whole(), one_of("interior"))
    assert read(kind, {"interior": 1}) == {"interior": 1}
    assert inside(kind, {"roof": 1}) == ['at.roof: "roof" is none of the choices here: interior.']


def at(kind: Kind, stamp: str) -> tuple[str, str]:
    """A time as the branch's clock shows it, and as an instant."""
    told: Moment = read(kind, stamp)
    assert (told.local.tzinfo, told.local.fold, told.utc.tzinfo) == (None, 0, UTC)
    return told.local.isoformat(), told.utc.isoformat()


def test_a_local_time() -> None:
    assert at(moment(fold=0), "2026-05-10T10:00") == ("2026-05-10T10:00:00", "2026-05-10T08:00:00+00:00")
    assert at(moment(fold=0), "2026-01-10T10:00:30") == ("2026-01-10T10:00:30", "2026-01-10T09:00:30+00:00")


@pytest.mark.parametrize("stamp", ["2026-05-10T08:00Z", "2026-05-10T09:00+01:00", "2026-05-10T04:00:00-04:00"])
def test_a_time_with_its_own_offset(stamp: str) -> None:
    assert at(moment(fold=0), stamp) == ("2026-05-10T10:00:00", "2026-05-10T08:00:00+00:00")


def test_an_hour_that_is_shown_twice() -> None:
    assert at(moment(fold=0), "2026-10-25T02:30") == ("2026-10-25T02:30:00", "2026-10-25T00:30:00+00:00")
    assert at(moment(fold=1), "2026-10-25T02:30") == ("2026-10-25T02:30:00", "2026-10-25T01:30:00+00:00")


@pytest.mark.parametrize("fold", [0, 1])
def test_an_hour_that_never_was(fold: int) -> None:
    sentence = "2026-03-29T02:30 never was: clocks in Europe/Berlin went forward over it; "
    assert refused(moment(fold=fold), "2026-03-29T02:30:15").startswith(sentence)


@pytest.mark.parametrize("value", [5, None, "2026-05-10", "2026-05-10 10:00", "2026-05-10T10:00 ", "2026-05-10T10"])
def test_what_is_no_time(value: object) -> None:
    assert refused(moment(fold=0), value).endswith(' is not a local time; write it like "2026-05-10T10:00".')


def test_a_time_that_the_calendar_does_not_have() -> None:
    sentence = "2026-02-30T10:00 is not in the calendar or on the clock: "
    assert refused(moment(fold=0), "2026-02-30T10:00").startswith(sentence)


def test_a_time_as_said() -> None:
    assert Moment(datetime(2026, 5, 10, 9, 5, 59), datetime(2026, 5, 10, tzinfo=UTC)).text == "2026-05-10T09:05"  # noqa: DTZ001


@pytest.mark.parametrize(
    ("kind", "value", "answer"),
    [(day, "2026-05-25", date(2026, 5, 25)), (clock_time, "08:30", time(8, 30))],
)
def test_a_day_and_a_time_of_day(kind: Kind, value: str, answer: object) -> None:
    assert read(kind, value) == answer


@pytest.mark.parametrize(
    ("kind", "value", "sentence"),
    [
        (day, 5, 'the number 5 is not a date; write it like "2026-05-25".'),
        (day, "25.05.2026", '"25.05.2026" is not a date; write it like "2026-05-25".'),
        (clock_time, 5, 'the number 5 is not a time of day; write it like "08:30".'),
        (clock_time, "8:30", '"8:30" is not a time of day; write it like "08:30".'),
        (clock_time, "08:30:00", '"08:30:00" is not a time of day; write it like "08:30".'),
        (clock_time, "25:30", '"25:30" is not a time of day; write it like "08:30".'),
        (clock_time, "ab:cd", '"ab:cd" is not a time of day; write it like "08:30".'),
    ],
)
def test_what_is_no_day_or_time_of_day(kind: Callable[..., Any], value: object, sentence: str) -> None:
    assert refused(kind, value) == sentence
