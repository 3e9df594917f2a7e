"""What was kept in English is found again by its phrase, its figures taken out, and said in the page's language."""

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import pytest
from django.utils.translation import get_language, gettext, override

from shared import phrasebook
from shared.phrasebook import in_house_language, inside, learn, said
from shared.quantities import Unreadable, parse_quantity

TOLD = Path(__file__).resolve().parents[1] / "charges" / "told"


def german(text: str) -> str:
    with override("de"):
        return said(text)


def lines_of(name: str) -> list[str]:
    return (TOLD / f"{name}.txt").read_text(encoding="utf-8").splitlines()


def steps() -> set[str]:
    """Every label of a step that any of the told statements has."""
    rows = [line.split(" | ") for line in lines_of("statements") if line.startswith("    ")]
    return {row[1] for row in rows if len(row) == 4}


def sentences() -> set[str]:
    """Every sentence beside a line."""
    return {line.split("; ", 1)[1] for line in lines_of("statements") if line[:1].strip() and "; " in line}


def unsaid(texts: set[str]) -> list[str]:
    return [text for text in sorted(texts) if any(letter.isalpha() for letter in text) and said(text) == text]


@pytest.mark.usefixtures("in_brackets")
def test_every_step_that_pricing_writes_is_known() -> None:
    assert len(steps()) > 150
    assert unsaid(steps()) == []


@pytest.mark.usefixtures("in_brackets")
def test_every_sentence_that_pricing_writes_is_known() -> None:
    assert len(sentences()) > 90
    assert unsaid(sentences()) == []


@pytest.mark.usefixtures("in_brackets")
def test_every_refusal_of_pricing_is_known() -> None:
    refusals = {line.split(": ", 1)[1] for line in lines_of("refusals")}
    assert len(refusals) > 50
    assert unsaid(refusals) == []


@pytest.mark.usefixtures("in_brackets")
@pytest.mark.parametrize("typed", ["-3", "full", "3 gal", "12 furlongs", "5/0", "9/8", "99999999999"])
def test_every_refusal_of_a_typed_figure_is_known(typed: str) -> None:
    with pytest.raises(Unreadable) as refused:
        parse_quantity(typed, dimension="volume", default_unit="L")
    assert unsaid({str(refused.value)}) == []


def test_a_plain_phrase() -> None:
    assert german("fuel") == "Kraftstoff"


def test_the_figures_stay() -> None:
    assert german("10.3 L short") == "10.3 L zu wenig"


def test_a_phrase_inside_a_phrase_is_said_too() -> None:
    assert german("interior heavy") == "innen stark"


def test_several_sentences() -> None:
    told = german(
        "-1 is below 0, which cannot be; 0 or more can. "
        "A level is either in steps or in litres; both are here. Leave out one pair."
    )
    assert "cannot" not in told
    assert "either" not in told
    assert told.startswith("-1 ")


def test_what_nobody_knows_stays_as_it_was_written() -> None:
    assert german("Left the keys with Morag.") == "Left the keys with Morag."


def test_the_house_language_leaves_everything() -> None:
    assert said("10.3 L short") == "10.3 L short"


def test_nothing_to_say() -> None:
    assert german("") == ""


@pytest.fixture
def knowing_only_this() -> Iterator[Callable[[Iterable[str]], None]]:
    """What a test teaches is forgotten with it: the catalogs ask for all that is known."""
    known, phrasebook._known = phrasebook._known, []
    yield learn
    phrasebook._known = known
    learn([])


def test_a_percent_sign_is_no_place(knowing_only_this: Callable[[Iterable[str]], None]) -> None:
    """A phrase is written for gettext, where a percent sign stands twice."""
    knowing_only_this(["%(figure)s %% of the lot"])
    with override("de"):
        assert said("12 % of the lot") == "12 % of the lot"


@pytest.mark.parametrize(
    ("language", "label"), [("en-gb", "fresh water"), ("fr", "fresh water"), ("de", "Fresh water")]
)
def test_inside_a_sentence(language: str, label: str) -> None:
    """German nouns keep their capital."""
    with override(language):
        assert inside("Fresh water") == label


@in_house_language
def what_is_kept(of: str) -> tuple[str | None, str]:
    """What an action would keep."""
    return get_language(), gettext(of)


def test_evidence_speaks_the_house_language_and_the_page_goes_on_in_its_own() -> None:
    with override("de"):
        assert what_is_kept("Unit") == ("en-gb", "Unit")
        assert gettext("Unit") == "Fahrzeug"
