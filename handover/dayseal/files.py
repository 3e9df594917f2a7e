"""Whether the evidence files are what their names state: photos, records, letters, whatever a bound row names."""

from collections.abc import Iterator

from django.db.models import CharField, Model

from handover.retention.gone import file_gone
from shared.files.store import NAME, Altered, read
from shared.ledger.rows import BOUND

CHUNK = 500


def file_columns() -> Iterator[tuple[type[Model], str]]:
    """Columns of bound tables that name files; empty ones do not."""
    for _label, model in sorted(BOUND.items()):
        for field in model._meta.concrete_fields:
            if isinstance(field, CharField) and field.name in {"original", "display", "thumb", "file", "photo"}:
                yield model, field.name


def named_files() -> Iterator[str]:
    """As the rows name them, one after the other; what several rows name comes several times."""
    for model, column in file_columns():
        rows = model._base_manager.exclude(**{column: ""}).order_by("pk").values_list(column, flat=True)
        yield from rows.iterator(chunk_size=CHUNK)


def count_named() -> int:
    return sum(model._base_manager.exclude(**{column: ""}).count() for model, column in file_columns())


def problem_of(name: str) -> str | None:
    """A sentence when a file is not what its name states. One that was erased when its time was over is none."""
    if not NAME.fullmatch(name):
        return f"{name[:80]!r} is no name of a kept file."
    try:
        read(name)
    except Altered as problem:
        return str(problem)
    except FileNotFoundError:
        # Erased by schedule or on request: the row keeps its digest.
        return None if file_gone(name) else f"The file {name} is gone from the store."
    return None
