"""A return with every kind of level: each a dip-stick with its doubt hatched, and "no difference" where both meet."""

from decimal import Decimal
from typing import NamedTuple

import pytest

from fleet.models import Unit
from handover.walkround.combined import expanded
from handover.walkround.document import found_on, walk_document
from handover.walkround.models import WalkRound
from shared.access.models import Person
from tests.factories import (
    BACK_AT,
    CylinderFactory,
    InstrumentFactory,
    PersonFactory,
    RentalFactory,
    ReturnBayFactory,
    UnitFactory,
)
from tests.kept import anew
from tests.playing import go, item, read, start
from tests.walkround.conftest import look, text_of


class Kind(NamedTuple):
    """How it leaves, how it comes back within both doubts, and beyond them with what counts then."""

    code: str
    out: str
    same: str
    other: str
    counts: str


KINDS = (
    Kind("diesel", "82", "79.5", "47.5", "31.5 L"),
    Kind("aus32", "15", "13", "8", "4 L"),
    Kind("gas_front", "11.7", "11.6", "9.1", "2.4 kg"),
    Kind("gas_rear", "9.0", "8.8", "7.0", "1.8 kg"),
    Kind("fresh_water", "100", "75", "50", "25 %"),
    Kind("waste_water", "0", "25", "50", "25 %"),
    Kind("cassette", "0", "25", "75", "50 %"),
    Kind("house_battery", "100", "95", "60", "34 %"),
)
CODES = [kind.code for kind in KINDS]
PERCENT = {"unit": "%", "capacity": Decimal(100), "steps": 4, "resolution": Decimal(25), "half_width": Decimal("12.5")}


def full(unit: Unit) -> Unit:
    """With everything at one station that the layouts of the demo have at several."""
    station = unit.layout.stations.get(number=2)
    aus = {"unit": "L", "capacity": Decimal(20), "steps": 20, "resolution": Decimal(1), "half_width": Decimal("1.5")}
    battery = {**PERCENT, "steps": 10, "resolution": Decimal(1), "half_width": Decimal(3)}
    InstrumentFactory(station=station, code="aus32", name="AUS 32", measures="exhaust_fluid", order=2, **aus)
    CylinderFactory(station=station, code="gas_rear", name="Rear", order=3)
    for order, code in enumerate(("fresh_water", "waste_water", "cassette"), start=4):
        InstrumentFactory(station=station, code=code, name=code, measures=code, order=order, **PERCENT)
    InstrumentFactory(
        station=station, code="house_battery", name="House battery", measures="house_battery", order=8, **battery
    )
    return unit


@pytest.fixture(scope="module")
def kept_back(kept_for_module: None) -> WalkRound:
    """Its return is begun."""
    rental = RentalFactory(leg=full(UnitFactory()))
    go(rental, PersonFactory(), **{kind.code: kind.out for kind in KINDS})
    return start(rental, "return", ReturnBayFactory(), at=BACK_AT, arrived_at=BACK_AT)


@pytest.fixture
def back(kept_back: WalkRound, db: None) -> WalkRound:
    return anew(kept_back)


def row_of(person: Person, walk: WalkRound, code: str) -> str:
    """The part of the station's page that is about one reading."""
    number = 1 if code == "diesel" else 2
    said = text_of(look(person, "station", walk.pk, number))
    return said.split(f'<div id="reading-{item(walk, code).id}"')[1].split('<div id="reading-')[0]


@pytest.mark.parametrize("kind", KINDS, ids=CODES)
def test_within_both_doubts_there_is_no_difference(back: WalkRound, callum: Person, kind: Kind) -> None:
    read(back, callum, BACK_AT, **{kind.code: kind.same})
    assert "no difference" in row_of(callum, back, kind.code)


@pytest.mark.parametrize("kind", KINDS, ids=CODES)
def test_beyond_them_what_counts_is_said(back: WalkRound, callum: Person, kind: Kind) -> None:
    read(back, callum, BACK_AT, **{kind.code: kind.other})
    said = row_of(callum, back, kind.code)
    assert "no difference" not in said
    assert f"{kind.counts} counts" in said


@pytest.mark.parametrize("kind", KINDS, ids=CODES)
def test_both_doubts_are_hatched_on_the_stick(back: WalkRound, callum: Person, kind: Kind) -> None:
    read(back, callum, BACK_AT, **{kind.code: kind.other})
    said = row_of(callum, back, kind.code)
    assert said.count('class="fringe') == 2
    assert "plus or minus" in said


@pytest.mark.parametrize("kind", KINDS, ids=CODES)
def test_not_read_is_no_level_at_nothing(back: WalkRound, callum: Person, kind: Kind) -> None:
    said = row_of(callum, back, kind.code)
    assert said.count('class="fringe') == 1
    assert "not read yet" in said


def test_the_document_has_the_same(back: WalkRound, callum: Person) -> None:
    read(back, callum, BACK_AT, **{kind.code: kind.same for kind in KINDS})
    stations = walk_document(found_on(back))["stations"]
    counts = {row["code"]: row["counts"] for station in stations for row in station["readings"] if row["counts"]}
    assert {code: said["word"] for code, said in counts.items()} == dict.fromkeys(CODES, "level")
    assert {code for code, said in counts.items() if said["known_to"]} == {"diesel", "aus32"}


def test_the_book_is_told_beside_the_rule_that_counts(back: WalkRound, callum: Person) -> None:
    read(back, callum, BACK_AT, diesel="47.5")
    said = row_of(callum, back, "diesel")
    assert "Known to ± 2.5 L at 95 % by JCGM 100:2008: for information, the sum above counts" in said
    assert "31.5 L counts" in said


def test_by_the_book_it_is_nearer_than_the_plain_rule(back: WalkRound) -> None:
    """1.5 / √3 for each reading, together 1.2247 L; at 95 % 1.96 times that, 2.4005 L, upwards. Plain: 3.0 L."""
    assert expanded(item(back, "diesel"), Decimal(82), Decimal("47.5")) == Decimal("2.5")


@pytest.mark.parametrize(
    ("code", "out", "back_at"), [("fresh_water", 100, 50), ("diesel", None, 50), ("diesel", 50, None)]
)
def test_what_is_no_tank_or_not_read_has_none(back: WalkRound, code: str, out: int | None, back_at: int | None) -> None:
    given = (Decimal(value) if value is not None else None for value in (out, back_at))
    assert expanded(item(back, code), *given) is None
