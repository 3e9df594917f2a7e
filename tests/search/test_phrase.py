"""What a phrase is read as: a number, words, a day."""

from datetime import date

import pytest

from handover.search.phrase import NoSuchDay, NoSuchYear, read

TODAY = date(2026, 11, 30)
MONTHS = {"november": 11, "nov": 11, "februar": 2, "feb": 2, "may": 5, "mai": 5}


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2026-11-12", date(2026, 11, 12)),
        ("12.11.2026", date(2026, 11, 12)),
        ("12. 11. 26", date(2026, 11, 12)),
        ("12/11/2026", date(2026, 11, 12)),
        ("12 Nov", date(2026, 11, 12)),
        ("12. November", date(2026, 11, 12)),
        ("Nov 12, 2025", date(2025, 11, 12)),
        ("3rd May 2027", date(2027, 5, 3)),
        ("12.11.", date(2026, 11, 12)),
        ("3 Mai", date(2027, 5, 3)),
        ("29 Feb", date(2028, 2, 29)),
        ("  12   nov ", date(2026, 11, 12)),
    ],
)
def test_a_day(typed: str, day: date) -> None:
    assert read(typed, today=TODAY, months=MONTHS).day == day


@pytest.mark.parametrize("typed", ["407", "12 doors", "LK-20418", "1.5 kg", "Nov", "12 Nov maybe", "", "12-11"])
def test_no_day(typed: str) -> None:
    assert read(typed, today=TODAY, months=MONTHS).day is None


@pytest.mark.parametrize("typed", ["2026-02-30", "31.11.2026", "30 Feb", "32 Nov 2026", "0.0.2026", "2026-13-01"])
def test_a_day_that_cannot_be(typed: str) -> None:
    with pytest.raises(NoSuchDay):
        read(typed, today=TODAY, months=MONTHS)


@pytest.mark.parametrize("typed", ["0000-01-01", "9999-12-31", "1.1.1066"])
def test_a_year_that_cannot_be(typed: str) -> None:
    with pytest.raises(NoSuchYear):
        read(typed, today=TODAY, months=MONTHS)


def test_a_phrase_is_a_number_and_words_at_once() -> None:
    said = read(" Lk-20418 ", today=TODAY, months=MONTHS)
    assert (said.tight, said.loose, said.phrase) == ("lk20418", "lk 20418", "Lk-20418")
