"""Text as it can be printed."""

import pytest

from handover.record.printable import LONGEST, printable


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("Maren Oduya", "Maren Oduya"),
        ("two\nlines", "two\nlines"),
        ("two\u2028lines\u2029and more", "two\nlines\nand more"),
        ("a\tb", "a b"),
        ("\x00bell\x07\x7f\x85", "bell"),
        ("Joe\u0301", "Jo\u00e9"),
        ("odd\ue000\ud800\ufdd0", "odd"),
        ("safe\u202etxt.exe", "safetxt.exe"),
        ("נ\u200fטע", "נטע"),
        ("می\u200cخواهم", "می\u200cخواهم"),
    ],
)
def test_what_nobody_sees_is_left_out(text, printed):
    assert printable(text) == printed


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("fine 🙂", "fine [slightly smiling face]"),
        ("👍🏽", "[thumbs up sign]"),
        ("👩\u200d🌾", "[woman][ear of rice]"),
        ("❤\ufe0f", "[heavy black heart]"),
        ("🇫🇷", "[regional indicator symbol letter f][regional indicator symbol letter r]"),
        ("\U0001fabe", "[sign u+1fabe]"),
    ],
)
def test_pictographs_are_named(text, printed):
    assert printable(text) == printed


def test_a_long_text_is_cut_and_says_so():
    cut = printable("a" * 200_000)
    assert len(cut) < LONGEST + 80
    assert cut.endswith("all 200000 characters are in record.json)")


def test_a_text_of_just_the_length_is_whole():
    assert printable("a" * LONGEST) == "a" * LONGEST
