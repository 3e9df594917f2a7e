"""Columns of rows: words give way to a sentence, the rest is emptied. The Ledger states each changed row again."""

from typing import Any

from django.db.models import Model

from handover.rental.models import Rental
from handover.retention.erasing.files import give_up
from handover.retention.erasing.scope import Scope
from handover.retention.inventory import Place
from handover.retention.words import is_gone


def erase_place(place: Place, rental: Rental, scope: Scope) -> int:
    """How many rows had something to erase."""
    if place.model == "Customer" and place.kind not in scope.of_the_customer:
        return 0
    rows = [row for row in place.rows(rental) if row.pk not in scope.keep]
    if place.files:
        return give_up(rental, (getattr(row, column) for row in rows for column in place.files), scope)
    return sum(_erase(row, place, scope.instead) for row in rows)


def _erase(row: Model, place: Place, instead: str) -> bool:
    changed = {name: instead for name in place.words if (text := getattr(row, name)) and not is_gone(text)}
    changed |= {name: value for name, value in place.empty.items() if getattr(row, name) != value}
    return keep_changed(row, changed)


def keep_changed(row: Model, changed: dict[str, Any]) -> bool:
    """Whether there was anything to change."""
    for name, value in changed.items():
        setattr(row, name, value)
    if changed:
        row.save(update_fields=list(changed))
    return bool(changed)
