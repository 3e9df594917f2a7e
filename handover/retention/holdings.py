"""Everything that is held of a customer: table by table, every column, as JSON and for a readable copy."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.apps import apps
from django.db.models import F, Model

from handover.rental.models import Customer, Rental
from handover.retention.inventory import PLACES
from handover.retention.requests import rentals_of
from shared.ledger.models import Entry, PersonalValue
from shared.ledger.row_checking import PERSONAL
from shared.ledger.row_form import columns_of
from shared.phrasebook import in_house_language

NOT_OF_A_PERSON = (
    ("Reading", "walk__leg__rental"), ("MarkFinding", "walk__leg__rental"), ("RentalExtra", "rental"),
    ("Statement", "rental"), ("ExcessReduction", "rental"), ("PlannedParty", "rental"), ("CustomerLink", "rental"),
    ("Erasure", "rental"),
)  # fmt: skip
"""Tables without a column in the inventory that are the person's rental all the same."""

NOT_SAID = frozenset({"id", "digest", "customer_id", "rental_id", "walk_id", "leg_id"})
"""Columns that join rows, and the digest of a link: nothing to read."""


@dataclass(frozen=True, slots=True)
class Table:
    """`name` in words; `rows` the columns of each row that hold something, in order."""

    name: str
    rows: Sequence[Mapping[str, Any]]

    @property
    def readable(self) -> list[dict[str, Any]]:
        """Without what only joins rows, and without long JSON, which the file has."""
        return [{name: value for name, value in row.items() if _is_read(name, value)} for row in self.rows]


@dataclass(frozen=True, slots=True)
class Holding:
    rental: Rental
    tables: Sequence[Table]


@dataclass(frozen=True, slots=True)
class HeldData:
    """All that is held of a customer, and the values that stand behind digests in the Ledger."""

    customer: Customer
    rentals: Sequence[Holding]
    values: Sequence[Mapping[str, str]]

    def as_json(self) -> dict[str, Any]:
        return {
            "person": columns_of(self.customer),
            "rentals": [
                {"rental": columns_of(row.rental), **{table.name: list(table.rows) for table in row.tables}}
                for row in self.rentals
            ],
            "stated_in_the_ledger": list(self.values),
        }


@in_house_language
def person_of(customer: Customer) -> HeldData:
    """In the language it is kept in. A fixed number of queries: one a table, however many rentals there are."""
    rentals = rentals_of(customer)
    found: dict[UUID, list[Table]] = {row.pk: [] for row in rentals}
    for name, path in _tables():
        for rental, rows in _rows(name, path, list(found)).items():
            found[rental].append(Table(str(apps.get_model("handover", name)._meta.verbose_name_plural), rows))
    return HeldData(customer, [Holding(row, found[row.pk]) for row in rentals], list(_values(list(found))))


def _tables() -> Iterator[tuple[str, str]]:
    """Each once; the customer's own row and the rental's stand above them."""
    every = [*((place.model, place.path) for place in PLACES), *NOT_OF_A_PERSON]
    yield from (pair for pair in dict.fromkeys(every) if pair[0] not in {"Customer", "Rental"})


def _rows(name: str, path: str, rentals: Sequence[UUID]) -> dict[UUID, list[Mapping[str, Any]]]:
    model: type[Model] = apps.get_model("handover", name)
    rows = model._base_manager.filter(**{f"{path}__in": rentals}).annotate(of_rental=F(path)).order_by("pk")
    found: dict[UUID, list[Mapping[str, Any]]] = {}
    for row in rows:
        found.setdefault(row.of_rental, []).append(columns_of(row))
    return found


def _values(rentals: Sequence[UUID]) -> Iterator[Mapping[str, str]]:
    payloads = Entry.objects.filter(chain__in=rentals, payload__contains='"digest"').values_list("payload", flat=True)
    digests = {digest for payload in payloads for digest in PERSONAL.findall(payload)}
    rows = PersonalValue.objects.filter(digest__in=digests, erased_at=None).exclude(kind="staff.name").order_by("pk")
    yield from ({"kind": row.kind, "value": row.value} for row in rows)


def _is_read(name: str, value: Any) -> bool:
    plain = isinstance(value, str | int | bool) and len(str(value)) <= 1000
    return plain and name not in NOT_SAID and not name.endswith(("_id", "sha256"))
