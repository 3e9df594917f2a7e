"""A rate card as the page shows it: sections, their blocks of fields, and tables of named rows.

Made from the schema, so that every parameter is there; the branch's own kits, equipment and kinds of mark stand as rows
to be filled, and below them blank ones.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from handover.charges import Problem
from handover.ratecard.flat import BEYOND
from handover.ratecard.paths import join, split
from handover.ratecard.posted import FIELD, KEY, is_blank
from handover.ratecard.schema import Group, Leaf, Named, Node, Numbered, Steps, leaf_of, schema
from handover.ratecard.words import choices_of, human, label_of, section_words, unit_of
from shared.phrasebook import said

# Blank rows of a table: many where a card says much.
BLANK_ROWS = {"damage.matrix": 6, "equipment.prices": 1}


@dataclass(frozen=True, slots=True)
class Field:
    """`usual` says what counts while nothing is stated; `choices` are value and words; `rows` above 1 is many lines."""

    path: str
    label: str
    unit: str
    help: str
    value: str
    usual: str
    choices: Sequence[tuple[str, str]]
    rows: int
    problem: str

    @property
    def name(self) -> str:
        return FIELD + self.path

    @property
    def id(self) -> str:
        return f"f-{self.path}".replace(" ", "-")


@dataclass(frozen=True, slots=True)
class KeyInput:
    """Where the name of a blank row is typed; `suggested` is the id of a list of names."""

    name: str
    label: str
    value: str
    suggested: str


@dataclass(frozen=True, slots=True)
class Row:
    """A named value. `keys` are its names as said; `inputs` the fields for them in a blank row."""

    field: Field
    keys: Sequence[str] = ()
    inputs: Sequence[KeyInput] = ()


@dataclass(frozen=True, slots=True)
class Table:
    title: str
    help: str
    heads: Sequence[str]
    unit: str
    rows: Sequence[Row]


@dataclass(frozen=True, slots=True)
class Block:
    """Fields and tables under one heading; `naming` names a block that does not exist yet."""

    title: str
    fields: Sequence[Field] = ()
    tables: Sequence[Table] = ()
    naming: KeyInput | None = None


@dataclass(frozen=True, slots=True)
class Section:
    key: str
    title: str
    blocks: Sequence[Block]
    stated: int
    problems: int


@dataclass(frozen=True, slots=True)
class Editing:
    """What the page is filled with. `known` are names by the path they stand under, with what each is called.

    `typed` holds what was typed as the names of blank rows, by the name of the input.
    """

    cells: Mapping[str, str]
    problems: Mapping[str, str]
    known: Mapping[str, Mapping[str, str]]
    currency: str
    typed: Mapping[str, str]


def sections(editing: Editing) -> list[Section]:
    """Every section of a rate card. A problem whose path has no field is not here: see homeless()."""
    return [_section(name, node, editing) for name, node in schema().parts.items()]


def homeless(problems: Sequence[Problem], shown: Sequence[Section]) -> list[Problem]:
    """Problems that no field shows: they stand above the page."""
    paths = {each.path for section in shown for each in _fields(section)}
    return [one for one in problems if one.path not in paths]


def _fields(section: Section) -> Iterator[Field]:
    for block in section.blocks:
        yield from block.fields
        yield from (row.field for table in block.tables for row in table.rows)


def _section(name: str, node: Node, editing: Editing) -> Section:
    inside = [path for path in editing.cells if split(path)[:1] == [name]]
    wrong = [path for path in editing.problems if split(path)[:1] == [name]]
    blocks = [block for block in _blocks(node, [name], "", editing) if block.fields or block.tables]
    return Section(name, section_words(name), blocks, len(inside), len(wrong))


def _blocks(node: Node, names: list[str], title: str, editing: Editing) -> Iterator[Block]:
    """The node's own fields and tables first, then the blocks inside it."""
    if isinstance(node, Group):
        leaves = [part for part, below in node.parts.items() if isinstance(below, Leaf)]
        tables = [part for part, below in node.parts.items() if _depth(below)]
        yield Block(
            title,
            [_field([*names, part], editing) for part in leaves],
            [_table(node.parts[part], [*names, part], editing) for part in tables],
        )
        for part, below in node.parts.items():
            if part not in leaves and part not in tables:
                yield from _blocks(below, [*names, part], label_of(join([*names, part])).words, editing)
    elif _depth(node):
        yield Block(title, (), [_table(node, names, editing)])
    elif isinstance(node, Named):
        yield from _named_blocks(node, names, editing)
    elif isinstance(node, Numbered):
        yield from _numbered_blocks(node, names, title, editing)


def _named_blocks(node: Named, names: list[str], editing: Editing) -> Iterator[Block]:
    known = editing.known.get(join(names), {})
    for name in {**known, **dict.fromkeys(_below(names, editing))}:
        yield from _blocks(node.part, [*names, name], known.get(name) or said(human(name).capitalize()), editing)
    if join(names) not in CLOSED:
        new = [*names, "+1"]
        typed = any(split(path)[: len(new)] == new for path in editing.cells)
        naming = _key(new, _("Code"), "", editing, typed=typed)
        for block in _blocks(node.part, [*names, "+1"], _("Another"), editing):
            yield Block(block.title, block.fields, block.tables, naming)


# Names that pricing itself gives: no others can be added.
CLOSED = frozenset({"cleaning"})


def _numbered_blocks(node: Numbered, names: list[str], title: str, editing: Editing) -> Iterator[Block]:
    there = sorted(int(number) for number in _below(names, editing) if number.isdecimal())
    for number in [*there, max(there, default=0) + 1]:
        yield from _blocks(node.part, [*names, str(number)], f"{title} {number}", editing)


def _below(names: list[str], editing: Editing) -> list[str]:
    """The names that cells have next under a path, in their order."""
    at = len(names)
    found = [split(path) for path in editing.cells]
    under = [pieces[at] for pieces in found if pieces[:at] == names and len(pieces) > at]
    return [name for name in dict.fromkeys(under) if not name.startswith("+")]


def _depth(node: Node) -> int:
    """How many names lead to a value where nothing but names does; 0 where there is more."""
    if isinstance(node, Steps):
        return 1
    if isinstance(node, Named):
        below = 0 if isinstance(node.part, Leaf) else _depth(node.part)
        return 1 + below if below or isinstance(node.part, Leaf) else 0
    return 0


HEADS = {
    "damage.matrix": (gettext_noop("Part"), gettext_noop("Kind"), gettext_noop("Up to, mm")),
    "distance.tiers": (gettext_noop("Up to"),),
}
SUGGESTED = {"damage.matrix": ("parts", "kinds", "")}


def _table(node: Node, names: list[str], editing: Editing) -> Table:
    depth, path = _depth(node), join(names)
    label = label_of(path)
    heads = tuple(_(head) for head in HEADS.get(path, (gettext_noop("Name"),) * depth))
    known = editing.known.get(path, {})
    taken = [split(cell) for cell in editing.cells]
    there = [cell for cell in taken if cell[: len(names)] == names and len(cell) == len(names) + depth]
    rows = there + [[*names, name] for name in known if depth == 1 and [*names, name] not in there]
    full = [_row(row, names, known, editing) for row in rows if not is_blank(join(row))]
    return Table(
        title=label.words,
        help=label.help,
        heads=heads,
        unit=unit_of(join([*names, *["x"] * depth]), editing.currency),
        rows=full + [_blank(number, names, heads, editing) for number in range(1, BLANK_ROWS.get(path, 2) + 1)],
    )


def _row(row: list[str], names: list[str], known: Mapping[str, str], editing: Editing) -> Row:
    keys = [known.get(name) or said(name if name == BEYOND else human(name)) for name in row[len(names) :]]
    return Row(_field(row, editing), keys=keys)


def _blank(number: int, names: list[str], heads: Sequence[str], editing: Editing) -> Row:
    """A row whose names are typed. A value that came without its names is still in it."""
    row = [*names, *[f"+{number}"] * len(heads)]
    lists = SUGGESTED.get(join(names), ("",) * len(heads))
    typed = join(row) in editing.cells
    inputs = [
        _key(row[: len(names) + at + 1], head, lists[at], editing, typed=typed) for at, head in enumerate(heads)
    ]  # fmt: skip
    return Row(_field(row, editing), inputs=inputs)


def _key(names: list[str], label: str, suggested: str, editing: Editing, *, typed: bool) -> KeyInput:
    name = KEY + join(names)
    return KeyInput(name, label, editing.typed.get(name, "") if typed else "", suggested)


def _field(names: list[str], editing: Editing) -> Field:
    path = join(names)
    label, leaf, choices = label_of(path), leaf_of(names) or Leaf("text"), choices_of(path)
    value = editing.cells.get(path, "")
    listed = list(choices.items())
    if value and choices and value not in choices:
        listed.append((value, value))
    return Field(
        path=path,
        label=label.words,
        unit=unit_of(path, editing.currency),
        help=label.help,
        value=value,
        usual=choices.get(leaf.default, leaf.default),
        choices=listed,
        rows=3 if leaf.kind == "texts" else 1,
        problem=said(editing.problems.get(path, "")),
    )
