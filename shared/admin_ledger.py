"""What is done at the setting-up desk, in the ledger: who, which row, which fields; never what was typed.

A value is stated as a digest under the server's secret: whoever has both can show that a value was, or was not, the
one that was set; whoever has the ledger alone learns nothing. Each row has a chain of its own.
"""

from collections.abc import Callable, Iterable, Mapping
from functools import wraps
from typing import Any
from uuid import UUID, uuid5

from django.db import models, transaction
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from shared.access.models import Person
from shared.canonical import Json, canonical_text
from shared.ids import uuid7
from shared.ledger.writing import append

CHAINS = UUID("6f0f4bb6-3d2e-5a63-9c0e-0d4f3c1f7b52")
SALT = "setting up"
SECRETS = {"password", "password1", "password2", "usable_password", "pin"}
# Deletes rows and says so for each; what follows is no second act.
LOGS_BY_ITSELF = {"delete_selected"}


def chain_of(label: str, pk: object) -> UUID:
    return uuid5(CHAINS, f"{label}:{pk}")


def tell(by: Person, row: models.Model, what: str, more: Mapping[str, Json] | None = None) -> None:
    """One entry for one row: added, changed or deleted."""
    label = row._meta.label_lower
    said: dict[str, Json] = {"what": what, "model": label, "pk": str(row.pk), **(more or {})}
    _append(by, chain_of(label, row.pk), "setting_up.changed", said, row.pk)


def tell_done(by: Person, label: str, action: str, more: Mapping[str, Json]) -> None:
    """One entry for what was done to many rows at once: an action of a list, an import."""
    _append(by, chain_of(label, ""), "setting_up.done", {"model": label, "action": action, **more}, None)


@transaction.atomic
def _append(by: Person, chain: UUID, kind: str, payload: Mapping[str, Json], pk: object) -> None:
    append(
        chain=chain, kind=kind, payload=payload, by=by, key=uuid7(), happened_at=timezone.now(),
        subject=pk if isinstance(pk, UUID) else None,
    )  # fmt: skip


def changed_in(form: Any, formsets: Iterable[Any] | None) -> dict[str, Json]:
    """Names of what was changed in a form and in the rows below it, and a digest of the form's new values."""
    fields = sorted(form.changed_data)
    told: dict[str, Json] = {"fields": list(fields)}
    if values := _values(form, fields):
        told["values"] = salted_hmac(SALT, canonical_text(values), algorithm="sha256").hexdigest()
    if rows := [row for formset in formsets or () for row in _rows(formset)]:
        told["rows"] = list(rows)
    return told


def _values(form: Any, fields: Iterable[str]) -> dict[str, Json]:
    """As the row keeps them; secrets are left out, as a digest of one is a thing to guess at."""
    columns = {column.name: column for column in form.instance._meta.fields} if hasattr(form, "instance") else {}
    named = [columns[name] for name in fields if name in columns and name not in SECRETS]
    return {column.name: str(column.value_to_string(form.instance)) for column in named}


def _rows(formset: Any) -> list[Json]:
    def said(row: models.Model, what: str, fields: Iterable[str] = ()) -> Json:
        return {"what": what, "model": row._meta.label_lower, "pk": str(row.pk), "fields": sorted(fields)}

    return [
        *(said(row, "added") for row in formset.new_objects),
        *(said(row, "changed", fields) for row, fields in formset.changed_objects),
        *(said(row, "deleted") for row in formset.deleted_objects),
    ]


class InTheLedger:
    """For a ModelAdmin: Django's own log is kept as it is, and each of its lines is an entry of the ledger too."""

    model: type[models.Model]

    def construct_change_message(self, request: HttpRequest, form: Any, formsets: Any, add: bool = False) -> Any:  # noqa: FBT001, FBT002
        request.set_up = changed_in(form, formsets)  # type: ignore[attr-defined]
        return super().construct_change_message(request, form, formsets, add)  # type: ignore[misc]

    def log_addition(self, request: Any, obj: Any, message: Any) -> Any:
        tell(request.user, obj, "added", getattr(request, "set_up", None))
        return super().log_addition(request, obj, message)  # type: ignore[misc]

    def log_change(self, request: Any, obj: Any, message: Any) -> Any:
        tell(request.user, obj, "changed", getattr(request, "set_up", None))
        return super().log_change(request, obj, message)  # type: ignore[misc]

    def log_deletions(self, request: Any, queryset: Any) -> Any:
        for row in queryset:
            tell(request.user, row, "deleted")
        return super().log_deletions(request, queryset)  # type: ignore[misc]

    def get_actions(self, request: HttpRequest) -> dict[str, Any]:
        found: dict[str, Any] = super().get_actions(request)  # type: ignore[misc]
        return {name: (told_of(do, name), name, words) for name, (do, name, words) in found.items()}


def told_of(do: Callable[..., Any], name: str) -> Callable[..., Any]:
    """The action of a list, and an entry that says on which rows it was done."""
    if name in LOGS_BY_ITSELF:
        return do

    @wraps(do)
    def done(page: Any, request: Any, chosen: Any) -> Any:
        rows: list[Json] = [str(pk) for pk in chosen.values_list("pk", flat=True)]
        answer = do(page, request, chosen)
        tell_done(request.user, page.model._meta.label_lower, name, {"rows": rows})
        return answer

    return done
