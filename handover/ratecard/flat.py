"""A rate card as cells, one value at one path, and back. Pure. The page, the CSV file and the ledger all use cells.

Values are text as a person types it: 1.62, yes, full_to_full; "none" stands for null (no limit, unlimited).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from difflib import get_close_matches
from typing import Any

from handover.charges import Problem
from handover.ratecard.paths import join, split
from handover.ratecard.schema import Group, Leaf, Named, Node, Numbered, Steps, leaf_at, leaf_of, schema

NONE = "none"
BEYOND = "beyond"
FLAGS = {"yes": True, "no": False, "true": True, "false": False}


def cells_of(rules: Mapping[str, Any]) -> dict[str, str]:
    """Every value of the rules by its path, in the order of the sections."""
    return {join(names): value for names, value in _cells(schema(), rules, ())}


def _cells(node: Node, value: Any, at: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], str]]:
    if isinstance(node, Leaf) or value is None:
        yield at, _typed(value)
    elif isinstance(node, Group):
        for name, part in node.parts.items():
            if name in value:
                yield from _cells(part, value[name], (*at, name))
    elif isinstance(node, Named):
        # By name: a database may keep the keys of JSON in another order than they came in.
        for name, item in sorted(value.items()):
            yield from _cells(node.part, item, (*at, name))
    elif isinstance(node, Steps):
        for step in value:
            limit = step.get(node.limit)
            yield (*at, BEYOND if limit is None else str(limit)), _typed(step.get(node.value))
    else:
        for number, item in enumerate(value, start=1):
            yield from _cells(node.part, item, (*at, str(number)))


def _typed(value: object) -> str:
    if value is None:
        return NONE
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "\n".join(map(str, value)) if isinstance(value, list | tuple) else str(value)


@dataclass(slots=True)
class Built:
    """Rules made of cells. `places` leads from the path where pricing finds a problem back to the cell."""

    rules: dict[str, Any] = field(default_factory=dict)
    places: dict[str, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def rules_of(cells: Mapping[str, str]) -> Built:
    """The rules that the cells say. A path that no rate card has is a problem; an empty value is no value."""
    built, tree = Built(), _Branch()
    for path, value in cells.items():
        names = split(path)
        if not value.strip():
            continue
        if not names or leaf_of(names) is None:
            built.problems.append(Problem(path, _unknown(path, cells)))
        else:
            tree.put(names, value.strip(), path)
    built.rules = _made(schema(), tree, "", built)
    return built


@dataclass(slots=True)
class _Branch:
    """Cells as a tree. `path` is of the cell itself, or of the first below it."""

    below: dict[str, "_Branch"] = field(default_factory=dict)
    text: str = ""
    path: str = ""

    def put(self, names: list[str], text: str, path: str) -> None:
        self.path = self.path or path
        if names:
            self.below.setdefault(names[0], _Branch()).put(names[1:], text, path)
        else:
            self.text = text


def _unknown(path: str, cells: Mapping[str, str]) -> str:
    known = [*_known(schema(), ()), *(other for other in cells if leaf_at(other))]
    near = get_close_matches(path, known, n=1, cutoff=0.6)
    return "A rate card says nothing at this path." + (f" {near[0]} may be meant." if near else "")


def _known(node: Node, at: tuple[str, ...]) -> Iterator[str]:
    if isinstance(node, Group):
        for name, part in node.parts.items():
            yield from _known(part, (*at, name))
    elif isinstance(node, Leaf):
        yield join(at)


def _made(node: Node, tree: _Branch, place: str, built: Built) -> Any:
    built.places[place] = tree.path
    if isinstance(node, Leaf):
        return _value(node, tree.text)
    if isinstance(node, Steps):
        return _steps(node, tree, place, built)
    if isinstance(node, Numbered):
        rows = sorted(tree.below.items(), key=lambda row: int(row[0]))
        return [_made(node.part, row, f"{place}[{number}]", built) for number, (_, row) in enumerate(rows)]
    parts = node.parts if isinstance(node, Group) else dict.fromkeys(tree.below, node.part)
    return {name: _made(parts[name], below, f"{place}.{name}", built) for name, below in tree.below.items()}


def _steps(node: Steps, tree: _Branch, place: str, built: Built) -> list[dict[str, Any]]:
    rows = sorted(tree.below.items(), key=lambda row: _size(row[0]))
    for number, (_, row) in enumerate(rows):
        for end in ("", f".{node.limit}", f".{node.value}"):
            built.places[f"{place}[{number}]{end}"] = row.path
    return [
        {node.limit: None if limit in (BEYOND, NONE) else limit, node.value: _value(Leaf("number"), row.text)}
        for limit, row in rows
    ]


def _size(limit: str) -> tuple[int, Decimal]:
    """In order of size, what is no number after them, beyond last of all."""
    if limit in (BEYOND, NONE):
        return 2, Decimal(0)
    return (0, Decimal(limit)) if limit.replace(".", "", 1).isdecimal() else (1, Decimal(0))


def _value(leaf: Leaf, text: str) -> Any:
    """As pricing reads it; what it cannot be stays text, so that pricing says why not."""
    if text.casefold() == NONE and leaf.kind != "text":
        return None
    if leaf.kind == "flag":
        return FLAGS.get(text.casefold(), text)
    if leaf.kind == "texts":
        return [line.strip() for line in text.splitlines() if line.strip()]
    return text
