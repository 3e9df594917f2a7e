"""What is found, in a fixed number of queries: the first of each kind, or one kind page by page.

Each kind and way of reading the phrase is one range of the index, read in its order until there is enough: what is
found costs, not what there is.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import or_

from django.db.models import Exists, OuterRef, Q, QuerySet

from handover.dispute.models import Dispute
from handover.search.asking import DISPUTE, Asked
from handover.search.folding import LONGEST, holds
from handover.search.keys import Range, Way, beginning_with, kind_of, on_days
from handover.search.kinds import Kind
from handover.search.models import SearchRow, SearchWord
from shared.access.models import Person
from shared.access.scope import scoped

FIRST = 5
A_PAGE = 50


@dataclass(frozen=True, slots=True)
class Group:
    """`last` is the key of the last one shown when there are more, from which the next page goes on."""

    kind: Kind
    rows: Sequence[SearchRow]
    last: bytes | None


def first_of_each(asked: Asked, person: Person) -> list[Group]:
    """Two queries. Kinds of which nothing is found are left out."""
    words = _first(asked, person, most=FIRST + 1)
    groups = [_group(kind, [word for word in words if kind_of(word.key) is kind], FIRST, asked) for kind in asked.kinds]
    _read_rows(word for group in groups for word in group[1])
    return [Group(kind, _found(shown, asked), last) for kind, shown, last in groups if shown]


def page_of(asked: Asked, person: Person, kind: Kind, *, after: bytes = b"", most: int = A_PAGE) -> Group:
    """Two queries."""
    words = _first(asked, person, most=most + 1, kinds=(kind,), after=after)
    _kind, shown, last = _group(kind, words, most, asked)
    _read_rows(shown)
    return Group(kind, _found(shown, asked), last)


def every_row(asked: Asked, person: Person, *, most: int, at_once: int = 1000) -> Iterator[SearchRow]:
    """Kind by kind, a thousand at a time, until there are `most`."""
    left = most
    for kind in asked.kinds:
        after: bytes | None = b""
        while after is not None and left > 0:
            group = page_of(asked, person, kind, after=after, most=min(at_once, left))
            yield from group.rows
            after, left = group.last, left - len(group.rows)


Shown = tuple[Kind, list[SearchWord], bytes | None]


def _group(kind: Kind, words: list[SearchWord], most: int, asked: Asked) -> Shown:
    shown = sorted(words, key=lambda word: bytes(word.key))
    return kind, shown[:most], bytes(shown[most - 1].key) if len(shown) > most else None


def _read_rows(words: Iterable[SearchWord]) -> None:
    """The rows of the words, and what their page says of them."""
    each = list(words)
    rows = SearchRow.objects.select_related("branch", "rental__customer", "unit").in_bulk(
        [word.row_id for word in each]
    )
    for word in each:
        word.row = rows[word.row_id]


def _found(words: Iterable[SearchWord], asked: Asked) -> list[SearchRow]:
    rows = [word.row for word in words]
    return [row for row in rows if holds(row.text, asked.read.phrase)] if asked.read.is_cut else rows


def _first(
    asked: Asked, person: Person, *, most: int, kinds: Sequence[Kind] = (), after: bytes = b""
) -> list[SearchWord]:
    """The first of each range, in one query. A limit inside a union is what Django does not say for SQLite."""
    parts = [
        rows.order_by("key")[:most].query.sql_with_params()
        for kind in kinds or asked.kinds
        for rows in _in_each_range(asked, person, ranges_of(asked, kind), after)
    ]
    if not parts:
        return []
    sql = " UNION ALL ".join(f"SELECT * FROM ({part}) AS part" for part, _params in parts)  # noqa: S608 Django's own
    return list(SearchWord.objects.raw(sql, [param for _part, params in parts for param in params]))


def ranges_of(asked: Asked, kind: Kind) -> list[Range]:
    """Where in the index the phrase can stand; without one, the days that are asked for."""
    read = asked.read
    if not read.loose:
        return [on_days(kind, Way.DAY, asked.start, asked.end)]
    found = [] if read.day else [beginning_with(kind, Way.NUMBER, read.tight[:LONGEST])]
    found.append(beginning_with(kind, Way.PHRASE, read.loose[:LONGEST]))
    if read.day:
        found += [on_days(kind, way, read.day, read.day) for way in (Way.DAY, Way.OTHER_DAY)]
    return found


def _in_each_range(
    asked: Asked, person: Person, ranges: Sequence[Range], after: bytes
) -> Iterator[QuerySet[SearchWord]]:
    """Each row once, by the first of its words that is in one of the ranges."""
    words = scoped(SearchWord.objects.filter(branch__in=asked.branches), person).filter(*_narrowed(asked))
    earlier = SearchWord.objects.filter(_within_any(ranges), row=OuterRef("row_id"), key__lt=OuterRef("key"))
    for low, high in ranges:
        beyond = {"key__gt": after} if after > low else {"key__gte": low}
        yield words.filter(~Exists(earlier), key__lt=high, **beyond)


def _within_any(ranges: Iterable[Range]) -> Q:
    return reduce(or_, (Q(key__gte=low, key__lt=high) for low, high in ranges))


def _narrowed(asked: Asked) -> Iterator[Q]:
    """Beside the phrase. Days without one are a range of the index themselves."""
    if asked.read.loose and asked.start:
        yield Q(row__day__gte=asked.start)
    if asked.read.loose and asked.end:
        yield Q(row__day__lte=asked.end)
    if asked.state.startswith(DISPUTE):
        of = Dispute.objects.filter(pk=OuterRef("row__target"), state=asked.state.removeprefix(DISPUTE))
        yield Q(Exists(of), row__kind=Kind.DISPUTE)
    elif asked.state:
        yield Q(row__rental__state=asked.state)
