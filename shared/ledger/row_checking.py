"""Whether the typed rows are what the ledger states of them."""

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.db import models
from django.db.models import Exists, OuterRef, Q

from shared.ledger.models import Entry, PersonalValue, RowStated
from shared.ledger.row_form import columns_of, row_digest
from shared.ledger.rows import BOUND, GONE, WRITTEN_BY_ACTIONS

CHUNK = 500
PERSONAL = re.compile(r'"digest":"([0-9a-f]{64})","kind":"')


@dataclass(slots=True)
class Told:
    """What some entries, one after the other, state of rows and of personal values."""

    rows: dict[UUID, Mapping[str, str]] = field(default_factory=dict)
    values: set[str] = field(default_factory=set)
    entries: int = 0

    @property
    def is_full(self) -> bool:
        return self.entries >= CHUNK

    def add(self, entry: UUID, payload: str, rows: str) -> None:
        self.entries += 1
        if rows:
            self.rows[entry] = json.loads(rows)
        if '"digest"' in payload:
            self.values.update(PERSONAL.findall(payload))


def check_told(told: Told) -> Iterator[str]:
    """A sentence for each row or value that is not what these entries state, where no later entry states otherwise.

    What was told is forgotten after it, so that it can be filled again.
    """
    rows, values = told.rows, told.values
    told.rows, told.values, told.entries = {}, set(), 0
    yield from _lost_values(values)
    if rows:
        yield from _check_rows(rows)


def _check_rows(rows: Mapping[UUID, Mapping[str, str]]) -> Iterator[str]:
    latest = {name: entry for entry, names in rows.items() for name in names}
    index = _index(rows, latest)
    for name, entry in latest.items():
        if name not in index or _is_before(index[name].entry, entry):
            yield f"{name} is stated by entry {entry}, and the list of what is stated does not lead there."
    yield from _led_astray([row for row in index.values() if row.entry not in rows])
    here = [row for row in index.values() if row.entry in rows]
    for row in here:
        if rows[row.entry].get(row.name) != row.digest:
            yield f"{row.name} is not what entry {row.entry} states: it states no such digest."
    yield from _altered(here)


def check_unstated() -> Iterator[str]:
    """A sentence for each row that only actions write and that no entry states, and for what leads to no entry."""
    for label in sorted(WRITTEN_BY_ACTIONS):
        yield from _unstated(label)
    lost = RowStated.objects.filter(~Exists(Entry.objects.filter(pk=OuterRef("entry"))))
    for name in lost.values_list("name", flat=True).iterator(chunk_size=CHUNK):
        yield f"{name} is said to be stated by an entry that is not there."


def _unstated(label: str) -> Iterator[str]:
    keys = BOUND[label]._base_manager.order_by("pk").values_list("pk", flat=True).iterator(chunk_size=CHUNK)
    while names := [f"{label}:{key}" for _, key in zip(range(CHUNK), keys, strict=False)]:
        stated = set(RowStated.objects.filter(name__in=names).values_list("name", flat=True))
        for name in names:
            if name not in stated:
                yield f"{name} is told by no entry: it was not written by an action."


def _index(rows: Mapping[UUID, Any], latest: Mapping[str, UUID]) -> dict[str, RowStated]:
    """By name: what is stated by these entries last, and what is said of the rows that they name."""
    found: dict[str, RowStated] = {}
    names, entries = list(latest), list(rows)
    for start in range(0, max(len(names), len(entries)), CHUNK):
        wanted = Q(name__in=names[start : start + CHUNK]) | Q(entry__in=entries[start : start + CHUNK])
        found.update((row.name, row) for row in RowStated.objects.filter(wanted))
    return found


def _led_astray(elsewhere: Sequence[RowStated]) -> Iterator[str]:
    """Of rows that a later entry is said to state: it must be there, and state them."""
    entries = [row.entry for row in elsewhere]
    told: dict[UUID, str] = {}
    for start in range(0, len(entries), CHUNK):
        told.update(Entry.objects.filter(pk__in=entries[start : start + CHUNK]).values_list("pk", "rows"))
    for row in elsewhere:
        if f'"{row.name}":"{row.digest}"' not in told.get(row.entry, ""):
            yield f"{row.name} is said to be stated by entry {row.entry}, which does not state it or is not there."


def _is_before(one: UUID, other: UUID) -> bool:
    """By the milliseconds in the ids, which this program makes one after the other."""
    return one.int >> 80 < other.int >> 80


def _altered(stated: Iterable[RowStated]) -> Iterator[str]:
    by_label: dict[str, list[RowStated]] = {}
    for row in stated:
        by_label.setdefault(row.name.partition(":")[0], []).append(row)
    for label, group in by_label.items():
        model = BOUND.get(label)
        if model is None:
            yield f"Rows of {label} are stated, and this program knows no such rows."
            continue
        for start in range(0, len(group), CHUNK):
            yield from _compared(model, group[start : start + CHUNK])


def _compared(model: type[models.Model], group: Sequence[RowStated]) -> Iterator[str]:
    kept = _kept(model, [row.name.partition(":")[2] for row in group])
    for row in group:
        instance = kept.get(row.name.partition(":")[2])
        if isinstance(instance, Exception):
            yield f"{row.name} cannot be read: {instance}"
        elif (instance is None) != (row.digest == GONE):
            yield f"{row.name} is gone." if instance is None else f"{row.name} was deleted, and is there again."
        elif instance is not None and not _is_as_stated(row, instance):
            yield f"{row.name} is not what was recorded: its columns do not match the digest in entry {row.entry}."


def _kept(model: type[models.Model], keys: Sequence[str]) -> dict[str, Any]:
    """By key as text; where the group cannot be read, each row or why not."""
    try:
        return {str(row.pk): row for row in model._base_manager.filter(pk__in=keys)}
    except Exception:  # a forced row may hold what its column cannot
        return {key: _one(model, key) for key in keys}


def _one(model: type[models.Model], key: str) -> Any:
    try:
        return model._base_manager.filter(pk=key).first()
    except Exception as fault:
        return fault


def _is_as_stated(row: RowStated, instance: models.Model) -> bool:
    try:
        return row_digest(row.name, row.salt, columns_of(instance)) == row.digest
    except Exception:  # whatever a forced column does to its reader, it is not what was stated
        return False


def _lost_values(digests: Iterable[str]) -> Iterator[str]:
    """Personal values that are gone with their row: an erased one keeps its row."""
    wanted = sorted(digests)
    for start in range(0, len(wanted), CHUNK):
        part = wanted[start : start + CHUNK]
        kept = set(PersonalValue.objects.filter(digest__in=part).values_list("digest", flat=True))
        for digest in part:
            if digest not in kept:
                yield f"No personal value has the digest {digest}, which an entry states."
