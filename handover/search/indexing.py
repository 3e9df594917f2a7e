"""The search follows the rows: whatever saves, changes or erases one is found, or no longer found, when it commits.

Rows are followed when they are saved; what is written past save() says so to the ledger, and that is heard here too.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import reduce
from operator import or_
from typing import Any

from django.apps import apps
from django.db import connection, models
from django.db.models import Prefetch
from django.db.models.signals import post_delete, post_save

from fleet.models import Unit
from handover.rental.models import Leg, Rental
from handover.search.keys import keys_of
from handover.search.models import SearchRow, SearchWord
from handover.search.sources import BY_MODEL, NAME, RENTAL, SOURCES
from handover.search.telling import Told, of_whole_rental, told_of
from shared.ledger.rows import rows_written

FOLLOWED: Mapping[str, tuple[str, ...]] = {
    "handover.Rental": ("number", "outside_reference", "planned_out_at", "planned_back_at", "customer"),
    "handover.Customer": ("name",),
    "handover.Driver": ("name",),
    "handover.Leg": ("unit",),
    "handover.Record": ("code", "pdf_sha256"),
    "handover.Statement": ("result",),
    "handover.Mark": ("place", "kind", "part"),
    "handover.Grouping": ("reason", "events"),
    "fleet.Unit": ("number", "plate", "vin", "branch"),
    "fleet.UnitKit": ("seal_number",),
} | {f"handover.{source.model}": source.columns for source in SOURCES}
"""By table the columns whose change is a change of what is found."""


def follow() -> None:
    """When the program starts."""
    for label in FOLLOWED:
        model = apps.get_model(label)
        post_save.connect(_saved, sender=model, dispatch_uid=f"search {label}")
        post_delete.connect(_deleted, sender=model, dispatch_uid=f"search {label}")
    rows_written.connect(_written, dispatch_uid="search")


def _saved(
    sender: type[models.Model], instance: models.Model, *, created: bool, update_fields: Iterable[str] | None,
    **_: Any,
) -> None:  # fmt: skip
    if update_fields is None or set(update_fields) & set(FOLLOWED[sender._meta.label]):
        for row in _told_by(instance):
            keep(row, is_new=created and row is instance and not isinstance(row, Rental))


def _written(sender: type[models.Model], rows: list[models.Model], **_: Any) -> None:
    """Made or changed past save(): as the database has them, not as the object in memory does."""
    model = type(rows[0])
    if model._meta.label in FOLLOWED:
        for row in model._base_manager.filter(pk__in=[row.pk for row in rows]):
            for followed in _told_by(row):
                keep(followed)


def _deleted(sender: type[models.Model], instance: Any, **_: Any) -> None:
    """A driver and a kit belong to what tells of them; whatever tells of itself goes."""
    if owner := OWNERS.get(sender.__name__):
        for row in owner(instance):
            if row.pk and type(row)._base_manager.filter(pk=row.pk).exists():
                keep(row)
        return
    SearchRow.objects.filter(source__in=_sources(instance), of=instance.pk).delete()


def _told_by(row: Any) -> Iterator[models.Model]:
    """The rows of the search that tell of it: itself, or those whose text it is a part of."""
    owner = OWNERS.get(type(row).__name__)
    yield from owner(row) if owner else [row]
    if isinstance(row, Unit):
        yield from _renamed(row)


OWNERS: Mapping[str, Callable[[Any], Iterable[models.Model]]] = {
    "Customer": lambda row: row.rentals.select_related("branch"),
    "Driver": lambda row: [row.rental],
    "Leg": lambda row: [row.rental],
    "UnitKit": lambda row: [row.unit],
}


def _renamed(unit: Unit) -> Iterable[Rental]:
    """Its rentals, when they still stand under another plate or number."""
    rows = SearchRow.objects.filter(source=RENTAL, rental__legs__unit=unit)
    named = rows.filter(text__contains=f"\n{unit.plate}\n{unit.number}")
    if rows.count() == named.count():
        return []
    return Rental.objects.filter(legs__unit=unit).select_related("branch", "customer").distinct()


def _sources(row: models.Model) -> tuple[str, ...]:
    return (RENTAL, NAME) if isinstance(row, Rental) else (type(row).__name__,)


def keep(row: models.Model, *, is_new: bool = False) -> None:
    """What is found of this row now is what it tells now. No query for a new row that tells nothing."""
    told = told_of(row)
    kept = {} if is_new else {each.source: each for each in _kept(row)}
    for each in told:
        before = kept.pop(each.source, None)
        if before is None or not _is_told_by(before, each):
            if before:
                before.delete()
            add([each])
    for gone in kept.values():
        gone.delete()


def _kept(row: models.Model) -> models.QuerySet[SearchRow]:
    return SearchRow.objects.filter(source__in=_sources(row), of=row.pk)


def _columns(told: Told) -> dict[str, Any]:
    return {
        "kind": told.kind.value, "source": told.source, "of": told.of, "branch_id": told.branch.pk,
        "rental_id": told.rental.pk if told.rental else None, "unit_id": told.unit.pk if told.unit else None,
        "target": told.target, "detail": told.detail, "day": told.day, "until": told.until, "text": told.text,
    }  # fmt: skip


def _is_told_by(kept: SearchRow, told: Told) -> bool:
    return all(getattr(kept, name) == value for name, value in _columns(told).items())


def add(told: Iterable[Told]) -> None:
    """Two statements for any number of rows that are not kept yet."""
    each = list(told)
    rows = SearchRow.objects.bulk_create(SearchRow(**_columns(one)) for one in each)
    _add_words(
        (row, key)
        for row, one in zip(rows, each, strict=True)
        for key in keys_of(
            one.kind, row.pk, day=one.day, until=one.until, numbers=one.numbers, names=one.names, words=one.words
        )
    )


def _add_words(words: Iterable[tuple[SearchRow, bytes]]) -> None:
    """As bulk_create, without an object for each word: they come by the million when the search is made anew."""
    columns = [column for column in SearchWord._meta.concrete_fields if not column.primary_key]  # row, branch, key
    names = ", ".join(connection.ops.quote_name(column.get_attname()) for column in columns)
    table = connection.ops.quote_name(SearchWord._meta.db_table)
    prepared = [
        [column.get_db_prep_save(value, connection) for column, value in zip(columns, said, strict=True)]
        for said in ((row.pk, row.branch_id, key) for row, key in words)
    ]
    with connection.cursor() as cursor:
        cursor.executemany(f"INSERT INTO {table} ({names}) VALUES (%s, %s, %s)", prepared)  # noqa: S608


def followed_tables() -> Iterator[models.QuerySet[Any]]:
    """Those that tell of themselves, with what their telling reads; of most answers nothing is told, none is read."""
    for label in FOLLOWED:
        model = apps.get_model(label)
        if model.__name__ not in OWNERS:
            paths = _along(model.__name__)
            rows = model._base_manager.select_related(*paths).defer(*_documents(model, paths))
            yield rows.filter(_tells(model)).order_by("pk")


def _tells(model: type[models.Model]) -> models.Q:
    """Something stands in a column that it is found by."""
    source = BY_MODEL.get(model.__name__)
    if source is None:
        return models.Q()
    fields = [model._meta.get_field(name) for name in source.columns]
    if not all(isinstance(field, models.CharField | models.TextField) for field in fields):
        return models.Q()
    return reduce(or_, (~models.Q(**{field.name: ""}) for field in fields))


def _documents(model: type[models.Model], paths: Iterable[str]) -> Iterator[str]:
    """Columns of JSON along the paths: long, and nothing is found by them."""
    for path in paths:
        along: Any = model
        for place, name in enumerate(steps := path.split("__")):
            along = along._meta.get_field(name).related_model
            for field in along._meta.local_fields:
                if isinstance(field, models.JSONField):
                    yield "__".join([*steps[: place + 1], field.name])


def _rentals() -> Iterator[list[Told]]:
    """With their legs and drivers read for a thousand at once."""
    legs = Prefetch("legs", Leg.objects.select_related("unit"))
    rows = Rental.objects.select_related("branch", "customer").prefetch_related(legs, "drivers").order_by("pk")
    for row in rows.iterator(chunk_size=1000):
        yield of_whole_rental(row, row.legs.all(), sorted(row.drivers.all(), key=lambda driver: driver.pk.bytes))


READ_ALONG: Mapping[str, tuple[str, ...]] = {
    "Rental": (),
    "Unit": ("branch",),
    "Mark": ("unit__branch", "found_on__leg__rental__branch"),
    "Record": ("rental__branch",),
    "Statement": ("rental__branch",),
    "Grouping": ("rental__branch",),
}


def _along(name: str) -> tuple[str, ...]:
    if name in READ_ALONG:
        return READ_ALONG[name]
    source = BY_MODEL[name]
    return ("__".join([*(source.rental or source.unit).split("."), "branch"]).removeprefix("__"),)


def everything(*, progress: Callable[[int], object]) -> Iterator[Told]:
    """All that can be found, in flat memory; `progress` is told of each row that was read."""
    for table in followed_tables():
        rows = _rentals() if table.model is Rental else map(told_of, table.iterator(chunk_size=1000))
        for told in rows:
            yield from told
            progress(1)
