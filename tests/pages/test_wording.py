"""Words that are made of several facts: covers, the story, spans of time, sticks, signatures."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from handover.board.words import span
from handover.rental.covers import covers_words
from handover.rental.timeline import told
from handover.statement.drawn import strokes_svg
from handover.statement.lines import Wording
from handover.statement.sticks import stick_of
from shared.access.models import Person
from shared.ids import uuid7
from shared.ledger.models import Entry

NOON = datetime(2026, 8, 14, 12, tzinfo=UTC)
ISLA = Person(id=uuid7(), first_name="Isla", last_name="Macrae")
CALLUM = Person(id=uuid7(), first_name="Callum", last_name="Reid")


@pytest.mark.parametrize(
    ("covers", "words"),
    [
        ({"limits": {"fuel_litres": "20"}}, "20 L of fuel"),
        ({"limits": {"fuel_tanks": 1, "gas_cylinders": 2}}, "1 tank of fuel; 2 gas cylinders"),
        ({"limits": {"toilet": True, "grey": False, "kits": ["first_aid"]}}, "toilet cassette; first aid"),
        ({"cleaning_up_to": {"interior": "standard"}}, "cleaning, interior, up to standard"),
        ({"cleaning_causes": ["smoke", "pets"]}, "cleaning after smoke, pets"),
        ({"excess": {"amount": "250"}}, "lower excess"),
        ({}, ""),
    ],
)
def test_what_an_extra_covers(covers: dict[str, Any], words: str) -> None:
    assert covers_words(covers) == words


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(0, "0 min"), (23, "23 min"), (60, "1 h 00"), (107, "1 h 47"), (1440, "1 day 0 h"), (3060, "2 days 3 h")],
)
def test_a_span_of_time(minutes: int, words: str) -> None:
    assert span(timedelta(minutes=minutes)) == words


def entry(kind: str, minute: int = 0, by: Person | None = ISLA, payload: str = "{}") -> Entry:
    return Entry(kind=kind, actor=by, happened_at=NOON + timedelta(minutes=minute), payload=payload)


def story(*entries: Entry) -> list[tuple[str, str]]:
    return [(row.words, row.side) for row in told(entries)]


def test_answers_in_a_row_are_one_line() -> None:
    rows = [entry("check.answered"), entry("reading.taken", 1), entry("check.answered", 2)]
    assert story(entry("pickup.started"), *rows) == [("Pickup begun", "pickup"), ("2 checks, 1 reading", "pickup")]


def test_another_person_begins_another_line() -> None:
    assert len(story(entry("check.answered"), entry("check.answered", 1, CALLUM))) == 2


def test_a_pause_begins_another_line() -> None:
    assert len(story(entry("check.answered"), entry("check.answered", 40))) == 2


def test_a_line_says_from_when_to_when() -> None:
    row = told([entry("check.answered"), entry("check.answered", 12)])[0]
    assert (row.at, row.until, row.who) == (NOON, NOON + timedelta(minutes=12), "Isla M.")


def test_a_signature_says_whose() -> None:
    assert story(entry("walk.signed", payload='{"role":"staff"}')) == [("Walk-round signed: staff", "")]


def test_what_the_program_did_has_nobody() -> None:
    assert told([entry("record.made", by=None)])[0].who == ""


def test_a_kind_without_words_is_still_told() -> None:
    assert story(entry("unit.swapped_out")) == [("unit, swapped out", "")]


FUEL = {"tank_l": "90", "out_l": "82", "in_l": "47.5", "half_width_out_l": "1.5", "half_width_in_l": "1.5"}
FRONT = {
    "tare_kg": "5.9", "net_kg": "6", "gross_out_kg": "11.7", "gross_in_kg": None, "half_width_out_kg": "0.1",
    "half_width_in_kg": "0.1",
}  # fmt: skip
INPUTS = {"legs": [{"fuel": FUEL, "gas": [FRONT]}]}


def test_a_tank_has_a_stick() -> None:
    svg = stick_of(1, "Diesel", ["rules.x", "legs[0].fuel.out_l"], INPUTS)
    assert "82 L" in svg
    assert 'class="band"' in svg


def test_a_cylinders_stick_shows_its_content() -> None:
    svg = stick_of(2, "Gas", ["legs[0].gas[0].gross_out_kg"], INPUTS)
    assert "5.8 kg" in svg


def test_what_rests_on_no_level_has_no_stick() -> None:
    assert stick_of(3, "Late return", ["rental.returned_at"], INPUTS) == ""


@pytest.mark.parametrize(
    ("currency", "unit", "shown"),
    [("GBP", "GBP/L", "£/L"), ("GBP", "GBP", "£"), ("CAD", "CAD/kg", "CA$/kg"), ("GBP", "min", "min")],
)
def test_units_carry_the_currencys_sign(currency: str, unit: str, shown: str) -> None:
    assert Wording(names={}, fuel="Diesel", currency=currency, rate_card="7").unit(unit) == shown


def test_a_signature_is_redrawn_from_numbers() -> None:
    line, dot = [{"x": 10, "y": 80, "t": 0}, {"x": 60, "y": 20, "t": 90}], [{"x": 5, "y": 6, "t": 1}]
    svg = strokes_svg([line, dot], name="O <b>")
    assert 'd="M10 80L60 20 M5 6L5 6"' in svg
    assert "O &lt;b&gt;" in svg
