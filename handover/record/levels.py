"""The table of levels: each instrument once, how it left beside how it came back, on one stick."""

from collections.abc import Iterator
from dataclasses import dataclass

from handover.record.content import Kind, Reading, RecordContent
from handover.record.dipstick_svg import lying_stick
from handover.record.figures import quantity

ABSENT = {"not_read": "not read", "not_applicable": "not fitted", "open": "not asked"}


@dataclass(frozen=True)
class LevelRow:
    """`stick` is markup built here from numbers; the rest is text. `strong`: something counts."""

    name: str
    doubt: str
    left: str
    back: str
    stick: str
    result: str
    strong: bool


def level_rows(content: RecordContent) -> list[LevelRow]:
    out, back = _readings(content, "pickup"), _readings(content, "return")
    return [_row(code, out, back) for code in dict.fromkeys([*out, *back])]


def _readings(content: RecordContent, kind: Kind) -> dict[str, Reading]:
    """By code, without what is not fitted; the odometer stands at the head of the page already."""
    unit = content.operator.distance_unit
    readings = [reading for reading in _all(content, kind) if reading.state != "not_applicable"]
    return {reading.code: reading for reading in readings if reading.unit != unit}


def _all(content: RecordContent, kind: Kind) -> Iterator[Reading]:
    walk = content.walk(kind)
    return (reading for station in walk.stations for reading in station.readings) if walk else iter(())


def _row(code: str, outs: dict[str, Reading], backs: dict[str, Reading]) -> LevelRow:
    name = (backs if code in backs else outs)[code].name
    out, back = outs.get(code), backs.get(code)
    strong = bool(back and back.counts and back.counts.word in {"short", "over"})
    return LevelRow(
        name, _doubt(out, back), _value(out), _value(back), lying_stick(out, back), _result(out, back), strong
    )


def _value(reading: Reading | None) -> str:
    if reading is None:
        return "not asked"
    return quantity(reading.value, reading.unit, ABSENT.get(reading.state, "not read"))


def _doubt(out: Reading | None, back: Reading | None) -> str:
    """curve, ± 1.5 L; where the instruments differ, both are named in their order."""
    said = [_instrument(reading) for reading in (out, back) if reading is not None and reading.value is not None]
    return "; then ".join(dict.fromkeys(said)) or "not read"


def _instrument(reading: Reading) -> str:
    if not reading.half_width:
        return reading.instrument
    return f"{reading.instrument}, ± {quantity(reading.half_width, reading.unit)}"


def _result(out: Reading | None, back: Reading | None) -> str:
    """What counts, as the pricing found it; without its word, only what two intervals can tell."""
    if back is None:
        return ""
    if back.counts and back.counts.word in {"short", "over"} and back.counts.amount is not None:
        return f"{quantity(back.counts.amount, back.unit)} {back.counts.word}"
    if out is None or out.value is None or back.value is None:
        return "no comparison"
    difference = back.value - out.value
    if abs(difference) > (out.half_width or 0) + (back.half_width or 0):
        return "no charge" if back.counts else ("lower" if difference < 0 else "higher")
    return "empty" if back.scale and back.value == back.scale.low else "level"
