"""The machine-readable record: one JSON document, attached to the PDF as record.json, and how it is read.

Nothing is printed that does not stand in it. Its keys are the fields of `content.py`, every key is present, and
no other key is allowed; `None` there is null here. In JSON terms:

- amounts, readings, odometers and plan positions are decimal strings ("82.0"), printed with the digits given;
- times are ISO 8601 with an offset ("2026-08-14T10:12:00+01:00"), printed in the branch's zone; days "2026-08-14";
- whole numbers (versions, station and line numbers, millimetres, counts) are JSON integers;
- a tuple is an array; a Literal is one of its words; digests are 64 lower-case hex digits;
- strokes are arrays of strokes, a stroke an array of points, a point [x, y, ...] of numbers, y downwards;
- statement.inputs and statement.result are any JSON object: the pricing's own, byte for byte when canonical.

    {"schema": "levelpeg.record/1",
     "record": {number, kind, version, code, made_at, page_url},
     "operator": {name, branch, time_zone, currency, locale, distance_unit},
     "rental": {customer, drivers[], left_at, planned_return_at, came_back_at, odometer_out, odometer_back,
                deposit, liability, excess, extras[{name, covers, price, bought_at}]},
     "unit": {number, plate, vin, layout{name, length_mm, width_mm, height_mm, max_mass_kg}},
     "walk_rounds": [{kind, mode, keys{by, at, arrived_until} or null,
        paper{number, keyed_in_by, keyed_in_at, lost} or null,
        let_go{jobs[], due[], reason, by, at} or null,
        overload{sentence, put_right, released_by, reason, released_at} or null,
        shown_offline{sha256, differences[{station, what, shown}]} or null, started_at, finished_at, by,
        stations[{number, name,
           checks[{text, state, answer, safety, note, in_bulk, by, at,
                   hold{sentence, put_right, released_by, reason, released_at}}],
           readings[{code, name, state, value, unit, half_width, resolution, instrument, scale{low, high, parts}, typed,
                     doubt, is_so, in_bulk, by, at, counts{word, amount, known_to}, hold{as of a check}}],
           counts[{name, expected, found, note, in_bulk, by, at}],
           seals[{kit, expected_number, found_number, state, used[], note, in_bulk, by, at, hold{as of a check}}],
           topics[{title, severity, outcome, language, texts[{language, title, text, state, sha256}], text_sha256,
                   heard_by, seconds, by, at}],
           views[{name, state, photos[]}]}],
        remarks[{text, by, at}],
        photos[{number, view, station, mark, sha256, printed_sha256, points[{mark, x, y}], by, at}]}],
     "marks": [{number, words, since, is_new, finding, line, x, y}],
     "signatures": [{who, role, act, outcome, reason, at, content_sha256, strokes}],
     "statement": {version, drawn_up_at, drawn_up_by, rules_version, inputs, result,
        lines[{number, code, ref, title, summary, raw, covered, due, tax, found_alone,
               workings[{kind, sign, figure, unit, source}]}],
        totals{raw, covered, total, tax, tax_name, tax_mode, deposit_held, deposit_captured, deposit_released,
               balance_due, refund_due},
        no_charge[], findings[], objections[{line, words, outcome, answer, at}], objection_until,
        reopened{version, cause, words, by, at, difference} or null} or null,
     "previous": {number, kind, version, sha256} or null,
     "ledger": {chain, first, last, digest, day_seal}}
"""

import dataclasses
import types
import typing
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from functools import cache
from typing import Any, Literal

from handover.record.content import RecordContent
from handover.record.printable import printable


class NotADocument(ValueError):
    """Where a machine-readable record departs from its schema: a sentence."""


def content_from(document: Mapping[str, Any]) -> RecordContent:
    """The content of a machine-readable record, its texts made printable. Raises NotADocument."""
    content: RecordContent = _value(RecordContent, document, "document")
    return content


def _value(kind: Any, value: Any, where: str) -> Any:
    origin = typing.get_origin(kind)
    if dataclasses.is_dataclass(kind):
        return _fields(kind, value, where)
    if origin is types.UnionType:
        return None if value is None else _value(typing.get_args(kind)[0], value, where)
    if origin is tuple:
        return tuple(
            _value(typing.get_args(kind)[0], part, f"{where}[{n}]") for n, part in enumerate(_list(value, where))
        )
    if origin is Literal:
        return _one_of(typing.get_args(kind), value, where)
    return _plain(kind, value, where)


def _fields(kind: Any, value: Any, where: str) -> Any:
    hints = _hints(kind)
    if not isinstance(value, Mapping) or set(value) != set(hints):
        differing = sorted(set(value) ^ set(hints)) if isinstance(value, Mapping) else ["it is no object"]
        raise NotADocument(f"{where} has not exactly the keys of {kind.__name__}: {', '.join(map(str, differing))}.")
    return kind(**{name: _value(hint, value[name], f"{where}.{name}") for name, hint in hints.items()})


@cache
def _hints(kind: Any) -> dict[str, Any]:
    return typing.get_type_hints(kind)


def _one_of(words: tuple[Any, ...], value: Any, where: str) -> Any:
    if value not in words:
        raise NotADocument(f"{where} is {value!r}; it can be {', '.join(words)}.")
    return value


def _list(value: Any, where: str) -> Sequence[Any]:
    if not isinstance(value, list | tuple):
        raise NotADocument(f"{where} is not an array.")
    return value


def _plain(kind: Any, value: Any, where: str) -> Any:
    """Text, whole numbers, flags, decimals, times and days; free JSON (inputs, strokes) stays as it is."""
    if kind in READERS:
        given, reader = READERS[kind]
        if not isinstance(value, given) or (isinstance(value, bool) and kind is not bool):
            raise NotADocument(f"{where} is {value!r}, not {kind.__name__} as {given.__name__}.")
        try:
            return reader(value)
        except (ValueError, InvalidOperation) as fault:
            raise NotADocument(f"{where} is {value!r}, which is no {kind.__name__}.") from fault
    return value if isinstance(value, Mapping) else _list(value, where)


def _decimal(text: str) -> Decimal:
    number = Decimal(text)
    if not number.is_finite():
        raise ValueError(text)
    return number


def _time(text: str) -> datetime:
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        raise ValueError("a time without its offset")
    return moment


READERS: dict[Any, tuple[type, Any]] = {
    str: (str, printable),
    int: (int, int),
    bool: (bool, bool),
    Decimal: (str, _decimal),
    datetime: (str, _time),
    date: (str, date.fromisoformat),
}
