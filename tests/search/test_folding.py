"""Texts as they are compared, and under which beginnings they are kept."""

import pytest

from handover.search.folding import (
    LONGEST,
    around,
    compact,
    folded,
    holds,
    name_beginnings,
    number_beginnings,
    phrase_beginnings,
)


@pytest.mark.parametrize(
    ("typed", "plain"),
    [
        ("  LRK-407 ", "lrk 407"),
        ("Ödün  Larsen", "odun larsen"),
        ("O’Neil-Sørby", "oneil sorby"),
        ("Straße 9", "strasse 9"),
        ("Ελένη", "ελενη"),
        ("%_*?'\\", ""),
        ("lk_20418", "lk 20418"),
        ("山田 太郎", "山田 太郎"),
        ("", ""),
    ],
)
def test_a_text_without_case_accents_and_signs(typed: str, plain: str) -> None:
    assert folded(typed) == plain


@pytest.mark.parametrize("typed", ["LRK 407", "lrk407", "Lrk-407", "L R K 4 0 7"])
def test_a_plate_however_it_is_typed(typed: str) -> None:
    assert compact(typed) == "lrk407"


def test_a_number_is_found_whole_and_from_each_part() -> None:
    assert number_beginnings("LK-20418") == {"lk20418", "20418"}


def test_a_phrase_is_found_from_each_word() -> None:
    assert phrase_beginnings("Scratch, left door") == {"scratch left door", "left door", "door"}


def test_a_name_is_found_by_any_part_of_it_and_in_either_order() -> None:
    kept = name_beginnings("Maren Oduya")
    for typed in ("maren", "oduya", "oduya maren", "maren od", "duya", "ren", "ODU"):
        assert any(each.startswith(folded(typed)) for each in kept), typed
    assert not any(each.startswith("ya") for each in kept)


def test_a_name_without_blanks_is_found_from_each_sign() -> None:
    assert {"山田太郎", "田太郎", "太郎", "郎"} == name_beginnings("山田太郎")
    assert "扉に傷" in phrase_beginnings("左の扉に傷")


def test_no_beginning_is_longer_than_is_kept() -> None:
    text = "a scratch " * 40
    assert max(len(each) for each in phrase_beginnings(text)) == LONGEST
    assert holds(text, "Scratch a scratch")
    assert not holds(text, "scratch scratch")


@pytest.mark.parametrize(
    ("text", "phrase", "cut"),
    [
        ("The left DOOR has a scratch", "left door", ("The ", "left DOOR", " has a scratch")),
        ("Maren Oduya", "duya", ("Maren ", "Oduya", "")),
        ("nothing of it", "door", ("nothing of it", "", "")),
        ("x" * 90 + " door", "door", ("…" + "x" * 9 + " ", "door", "")),
        ("anything", "", ("anything", "", "")),
    ],
)
def test_the_place_that_matched(text: str, phrase: str, cut: tuple[str, str, str]) -> None:
    assert around(text, phrase, room=10) == cut or around(text, phrase, room=60) == cut
