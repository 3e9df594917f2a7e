"""Typed rows beside the ledger: every entry states a salted digest of each row that its transaction wrote.

A row is noted when it is saved or deleted; the next append() of the transaction states it. What happens past save()
(QuerySet.update, bulk_create) says so with written(). Salts are kept beside the entries and go when a row is
stated again, so that what was erased cannot be guessed from a digest.
"""

import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db import connection, models
from django.db.models.signals import post_delete, post_save
from django.dispatch import Signal

from shared.ledger.row_form import ReadAgain, columns_of, name_of, row_digest

GONE = ""
"""The digest of a row that was deleted."""

BOUND: dict[str, type[models.Model]] = {}
"""By label: the models whose rows are noted by themselves."""

WRITTEN_BY_ACTIONS: set[str] = set()
"""Labels of those whose rows come into being in actions alone: one that no entry states was forced in."""


rows_written = Signal()
"""Sent with `rows` of one model, for whoever else follows rows: these were made or changed past save()."""


@dataclass(slots=True)
class Noted:
    """One row of this transaction. It waits among what is done on commit: a savepoint rolled back takes it along."""

    name: str
    model: type[models.Model]
    pk: Any
    columns: dict[str, Any] | None = None
    gone: bool = False
    chain: UUID | None = None
    stated: bool = False

    def __call__(self) -> None:
        """On commit. A row that was written after the last entry of its action gets one of its own."""
        if not self.stated and self.chain:
            from shared.ledger.writing import append_rows  # noqa: PLC0415 it imports this module

            append_rows(self, chain=self.chain)


@dataclass(frozen=True, slots=True)
class Appended:
    """In the same list: that an entry was written, and to which chain."""

    chain: UUID

    def __call__(self) -> None:
        """Nothing is left to do."""


def bind(*bound: type[models.Model], written_by_actions: bool) -> None:
    """From now on the ledger states what is saved of these models."""
    for model in bound:
        label = model._meta.label_lower
        BOUND[label] = model
        if written_by_actions:
            WRITTEN_BY_ACTIONS.add(label)
        post_save.connect(_saved, sender=model, dispatch_uid=f"ledger {label}")
        post_delete.connect(_deleted, sender=model, dispatch_uid=f"ledger {label}")


def written(rows: Iterable[models.Model]) -> None:
    """Rows that were changed or made past save(), for the next entry of this transaction."""
    each = list(rows)
    for row in each:
        _note(row)
    for model in dict.fromkeys(type(row) for row in each):
        rows_written.send(sender=model, rows=[row for row in each if type(row) is model])


def take() -> dict[str, tuple[str, str]]:
    """Digest and salt of each row noted since the last entry of this transaction, by name."""
    waiting: dict[str, Noted] = {}
    for done in reversed(connection.run_on_commit):
        if isinstance(done[1], Appended):
            break
        if isinstance(done[1], Noted):
            done[1].stated = True
            waiting.setdefault(done[1].name, done[1])  # the last of several counts
    if not waiting:
        return {}
    _read_again([noted for noted in waiting.values() if noted.columns is None and not noted.gone])
    return {name: _sealed(noted) for name, noted in sorted(waiting.items())}


def _sealed(noted: Noted) -> tuple[str, str]:
    if noted.gone or noted.columns is None:
        return GONE, ""
    salt = secrets.token_hex(16)
    return row_digest(noted.name, salt, noted.columns), salt


def _read_again(waiting: list[Noted]) -> None:
    """A row saved in part, or past its object, is stated as the database has it."""
    by_model: dict[type[models.Model], list[Noted]] = {}
    for noted in waiting:
        by_model.setdefault(noted.model, []).append(noted)
    for model, group in by_model.items():
        kept = model._base_manager.in_bulk([noted.pk for noted in group])
        for noted in group:
            row = kept.get(noted.pk)
            noted.columns = columns_of(row) if row else None


def _saved(sender: type[models.Model], instance: models.Model, *, created: bool, **_: Any) -> None:
    _note(instance, columns=_known(instance) if created else None)


def _deleted(sender: type[models.Model], instance: models.Model, **_: Any) -> None:
    _note(instance, gone=True)


def _known(row: models.Model) -> dict[str, Any] | None:
    try:
        return columns_of(row)
    except ReadAgain:
        return None


def _note(row: models.Model, *, columns: dict[str, Any] | None = None, gone: bool = False) -> None:
    if connection.in_atomic_block:
        connection.on_commit(Noted(name_of(row), type(row), row.pk, columns, gone, _chain_so_far()))


def _chain_so_far() -> UUID | None:
    """Of the last entry in this transaction. Django lets go of what a savepoint added when it is rolled back."""
    for done in reversed(connection.run_on_commit):
        if isinstance(done[1], Appended):
            return done[1].chain
    return None
