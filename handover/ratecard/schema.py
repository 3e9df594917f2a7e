"""What a rate card can say, read off the records that pricing reads it into. Pure.

A tree of nodes: a Group has named parts, a Named has parts under names of the operator's own, Steps have a value up to
each limit, a Numbered is a list, a Leaf is one value. A parameter that pricing gains is here without a change.
"""

from collections.abc import Mapping, Sequence
from dataclasses import MISSING, dataclass, fields
from datetime import date, time
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from handover.charges.document.case import Rules
from handover.charges.document.intake import slots_of
from handover.charges.document.kinds import Moment
from handover.ratecard.paths import split

# Said elsewhere: hours and closed days by the branch, the excess by each rental's liability option.
ELSEWHERE = frozenset({"late.opening_hours", "late.closed_dates", "damage.excess"})


@dataclass(frozen=True, slots=True)
class Leaf:
    """One value. `kind` is number, whole, flag, text, texts (several) or moment; `default` as typed, "" for none."""

    kind: str
    default: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    parts: Mapping[str, "Node"]


@dataclass(frozen=True, slots=True)
class Named:
    """`part` under each name."""

    part: "Node"


@dataclass(frozen=True, slots=True)
class Steps:
    """A number up to each limit, kept as a list of records with the keys `limit` and `value`."""

    limit: str
    value: str


@dataclass(frozen=True, slots=True)
class Numbered:
    """A list of `part`, counted from 1."""

    part: "Node"


Node = Leaf | Group | Named | Steps | Numbered

KINDS = {Decimal: "number", int: "whole", bool: "flag", str: "text", Moment: "moment", date: "text", time: "text"}


@cache
def schema() -> Group:
    """The sections of a rate card. Replacement prices stand with the equipment; pricing gets them with each thing."""
    sections = dict(_group(Rules, "").parts)
    equipment = sections["equipment"]
    assert isinstance(equipment, Group)  # noqa: S101
    sections["equipment"] = Group({**equipment.parts, "prices": Named(Leaf("number"))})
    return Group(sections)


def _group(record: Any, path: str) -> Group:
    hints, defaults = get_type_hints(record), {spec.name: spec.default for spec in fields(record)}
    parts: dict[str, Node] = {}
    for name, slot in slots_of(record).items():
        at = f"{path}.{name}" if path else name
        if at not in ELSEWHERE:
            parts[name] = _node(_wanted(hints[slot.attribute]), at, defaults[slot.attribute])
    return Group(parts)


def _wanted(hint: Any) -> Any:
    """The type without its None."""
    if get_origin(hint) in (Union, UnionType):
        return next(one for one in get_args(hint) if one is not NoneType)
    return hint


def _node(wanted: Any, path: str, default: object) -> Node:
    if wanted in KINDS:
        return Leaf(KINDS[wanted], _typed(default))
    origin = get_origin(wanted)
    if origin is tuple:
        return _list(get_args(wanted)[0], path)
    if origin is None:
        return _group(wanted, path)
    return Named(_node(_wanted(get_args(wanted)[1]), f"{path}.*", MISSING))


def _list(item: Any, path: str) -> Node:
    if item in KINDS:
        return Leaf("texts")
    names = list(slots_of(item))
    if len(names) == 2 and names[0].startswith("up_to"):
        return Steps(*names)
    return Numbered(_group(item, f"{path}.*"))


def _typed(default: object) -> str:
    """A default as a person would type it."""
    if default is MISSING or default is None:
        return ""
    if isinstance(default, bool):
        return "yes" if default else "no"
    return str(default)


def node_at(names: Sequence[str]) -> Node | None:
    """What a path leads to, or nothing where it leads nowhere."""
    node: Node | None = schema()
    for name in names:
        node = _below(node, name)
    return node


def _below(node: Node | None, name: str) -> Node | None:
    if isinstance(node, Group):
        return node.parts.get(name)
    if isinstance(node, Steps):
        return Leaf("number")
    if isinstance(node, Named) or (isinstance(node, Numbered) and name.isdecimal()):
        return node.part
    return None


def leaf_of(names: Sequence[str]) -> Leaf | None:
    node = node_at(names) if names else None
    return node if isinstance(node, Leaf) else None


def leaf_at(path: str) -> Leaf | None:
    return leaf_of(split(path))
