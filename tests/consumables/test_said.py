"""Sentences of the pure modules, in the house language and another."""

from consumables.said import say

GERMAN = {"%(litres)s L are missing: %(why)s": "Es fehlen %(litres)s L: %(why)s", "nobody knows": "niemand weiß es"}


def translate(text: str) -> str:
    return GERMAN.get(text, text)


def test_a_sentence_in_two_languages() -> None:
    sentence = say("%(litres)s L are missing: %(why)s", litres="12", why=say("nobody knows"))
    assert str(sentence) == "12 L are missing: nobody knows"
    assert sentence.in_language(translate) == "Es fehlen 12 L: niemand weiß es"


def test_without_figures_a_percent_sign_stands_as_it_is() -> None:
    assert str(say("90 % of the fuel")) == "90 % of the fuel"


def test_equal_words_and_figures_are_equal() -> None:
    assert say("%(a)s", a="1") == say("%(a)s", a="1") != say("%(a)s", a="2")
