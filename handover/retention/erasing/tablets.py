"""What a tablet sent of a rental and that was kept beside its rows: entries held for a person, parts of photos."""

from functools import partial

from django.db import transaction

from handover.rental.models import Rental
from handover.retention.erasing.rows import keep_changed
from handover.retention.erasing.scope import Scope
from handover.retention.words import is_gone
from handover.tablet.models import Receipt
from handover.tablet.uploads import forget
from handover.walkround.models import WalkRound


def erase_receipts(rental: Rental, scope: Scope) -> int:
    walks = WalkRound.objects.filter(leg__rental=rental).values("pk")
    rows = [row for row in Receipt.objects.filter(walk_id__in=walks) if row.pk not in scope.keep]
    return sum(_erase(row, scope.instead) for row in rows)


def _erase(row: Receipt, instead: str) -> bool:
    changed = {name: instead for name in ("sentence", "reason") if (text := getattr(row, name)) and not is_gone(text)}
    if row.body:
        changed["body"] = ""
    if row.kind == "photo":
        transaction.on_commit(partial(forget, row.key))
    return keep_changed(row, changed)
