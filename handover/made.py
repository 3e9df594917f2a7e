"""Rows of what a task makes after the act that ordered it: a record, a letter, a bundle."""

from typing import Any, TypeVar

from django.db.models import Model

M = TypeVar("M", bound=Model)


def mark_failed(row: M, sentence: str) -> M | None:
    """Why it could not be made, on its row; None when another run made it meanwhile.

    The row's model has a `state`, one of them READY and one FAILED, and a `problem`. In the transaction that tells the
    ledger.
    """
    model: Any = type(row)
    waiting: Any = model.objects.select_for_update().filter(pk=row.pk).exclude(state=model.State.READY).first()
    if waiting is None:
        return None
    waiting.state, waiting.problem = model.State.FAILED, sentence[:300]
    waiting.save(update_fields=["state", "problem"])
    return waiting  # type: ignore[no-any-return]
