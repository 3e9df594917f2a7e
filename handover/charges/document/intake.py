"""Reads a document into frozen records, driven by the records' own fields.

Each field of a record says by `key(kind, default)` how its value is read, so that the record is the one list of the
keys a document may hold. A key that no record names is a problem, never ignored.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import MISSING, dataclass, field, fields
from difflib import get_close_matches
from functools import cache
from typing import Any, TypeAlias, TypeVar, cast
from zoneinfo import ZoneInfo

from handover.charges.document.problems import Problem

_REQUIRED = object()
T = TypeVar("T")


class RefusedError(ValueError):
    """The value cannot be read; an empty sentence means that the problem was noted further down."""


@dataclass(slots=True)
class Intake:
    """One reading of one document: the branch's zone, and the problems found so far."""

    zone: ZoneInfo
    problems: list[Problem]

    def refuse(self, path: str, sentence: str) -> None:
        self.problems.append(Problem(path, sentence))


Kind: TypeAlias = Callable[[object, str, Intake], Any]
Impossible: TypeAlias = Iterator[tuple[str, str]]


class Record:
    """A part of the document. `path` says where it stood, for the source of a figure."""

    __slots__ = ()

    def impossible(self) -> Impossible:
        """Pairs of key and sentence for what the fields together cannot be."""
        return iter(())


def key(kind: Kind, default: object = _REQUIRED, *, name: str | None = None) -> Any:
    """A field of a record, read by `kind` from the key `name` (or the field's own name).

    Where the default is None, null may be written for it too.
    """
    metadata = {"kind": _or_null(kind) if default is None else kind, "name": name}
    if default is _REQUIRED:
        return field(metadata=metadata)
    if isinstance(default, dict):
        return field(default_factory=lambda: default, metadata=metadata)
    return field(default=default, metadata=metadata)


def _or_null(kind: Kind) -> Kind:
    def read(value: object, path: str, intake: Intake) -> object:
        return None if value is None else kind(value, path, intake)

    return read


@dataclass(frozen=True, slots=True)
class Slot:
    """How one key of a record is read."""

    attribute: str
    kind: Kind
    required: bool


@cache
def slots_of(wanted: Any) -> dict[str, Slot]:
    """The keys that a record may hold, by their name in the document."""
    found = {}
    for spec in fields(wanted):
        if "kind" in spec.metadata:
            name = spec.metadata["name"] or spec.name
            required = spec.default is MISSING and spec.default_factory is MISSING
            found[name] = Slot(spec.name, spec.metadata["kind"], required)
    return found


def join(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name


def read_key(kind: Kind, value: object, path: str, intake: Intake) -> tuple[bool, Any]:
    """Whether the value could be read, and what it is; a refusal is noted at its path."""
    try:
        return True, kind(value, path, intake)
    except RefusedError as refusal:
        if str(refusal):
            intake.refuse(path, str(refusal))
        return False, None


def record(wanted: type[T], *, ignored: frozenset[str] = frozenset()) -> Callable[[object, str, Intake], T]:
    """The kind of value that is an object with the keys of `wanted`; `ignored` keys may stand there unread."""

    def read(value: object, path: str, intake: Intake) -> T:
        if not isinstance(value, Mapping):
            raise RefusedError(f"This is {spoken(value)}; an object in braces is needed here.")
        slots = slots_of(cast(Any, wanted))
        refuse_unknown(value, [*slots, *ignored], path, intake)
        before = len(intake.problems)
        values = dict(_values(slots, value, path, intake))
        if len(intake.problems) > before:
            raise RefusedError
        made = cast(Any, wanted)(path=path, **values)
        for name, sentence in made.impossible():
            intake.refuse(join(path, name), sentence)
        return cast(T, made)

    return read


def _values(
    slots: Mapping[str, Slot], value: Mapping[object, object], path: str, intake: Intake
) -> Iterator[tuple[str, Any]]:
    for name, slot in slots.items():
        if name in value:
            was_read, content = read_key(slot.kind, value[name], join(path, name), intake)
            if was_read:
                yield slot.attribute, content
        elif slot.required:
            intake.refuse(join(path, name), "This key is missing; it has to be there.")


def refuse_unknown(value: Mapping[object, object], known: list[str], path: str, intake: Intake) -> None:
    for name in value:
        if name not in known:
            near = get_close_matches(str(name), known, n=1, cutoff=0.5)
            meant = f"the nearest known key is {near[0]}." if near else f"known keys are {', '.join(known)}."
            intake.refuse(join(path, str(name)), f"This key is not known here; {meant}")


def spoken(value: object) -> str:
    """What a value is, in the words of JSON."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "an object"
    if isinstance(value, list | tuple):
        return "a list"
    return f'"{value}"' if isinstance(value, str) else f"the number {value}"
