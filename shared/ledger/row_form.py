"""What of a typed row its digest is taken over: the canonical JSON of its columns, with a salt.

A column that holds nothing (NULL, empty text, False, an empty list) is left out, so that a column added later changes
no digest stated before.
"""

import json
from collections.abc import Mapping
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from django.db import models

from shared.canonical import Json, digest
from shared.ledger.chain import instant


class ReadAgain(ValueError):
    """What the object holds need not be what the database keeps of it."""


def name_of(row: models.Model) -> str:
    """handover.reading:0198…, as an entry names the row."""
    return f"{row._meta.label_lower}:{row.pk}"


def columns_of(row: models.Model) -> dict[str, Json]:
    """The columns that hold something, by name. Raises ReadAgain where only the database knows the value."""
    told = {field.attname: _told(field, getattr(row, field.attname)) for field in row._meta.concrete_fields}
    return {name: value for name, value in told.items() if value not in (None, "", False, []) or _is_number(value)}


def row_digest(name: str, salt: str, columns: Mapping[str, Json]) -> str:
    """SHA-256 over the canonical JSON of {"columns", "row", "salt"}, 64 hex digits."""
    return digest({"columns": columns, "row": name, "salt": salt})


def _is_number(value: Json) -> bool:
    """0 is a value; False, which equals it, is none."""
    return isinstance(value, int) and not isinstance(value, bool)


def _told(field: Any, value: Any) -> Json:
    if value is None:
        return None
    if hasattr(value, "resolve_expression"):
        raise ReadAgain(field.name)
    if isinstance(field, models.JSONField):
        plain: Json = json.loads(json.dumps(value, cls=field.encoder))
        return plain
    if isinstance(field, models.DecimalField):
        return _exact(field, field.to_python(value))
    return _plain((field.target_field if field.is_relation else field).to_python(value))


def _exact(field: Any, value: Decimal) -> str:
    """With as many places as the column has. More of them the database would round in its own way."""
    kept = value.quantize(Decimal(1).scaleb(-field.decimal_places))
    if kept != value:
        raise ReadAgain(field.name)
    return format(abs(kept) if kept == 0 else kept, "f")


def _plain(value: Any) -> Json:
    if isinstance(value, datetime):
        return instant(value)
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, bytes | memoryview):
        return bytes(value).hex()
    return value if isinstance(value, bool | int) else str(value)
