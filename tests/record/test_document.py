"""The machine-readable record is read strictly: what departs from its schema is named by its place."""

from dataclasses import fields, is_dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import get_args, get_type_hints

import pytest

from handover.record import content as record_content
from handover.record import document as record_document
from handover.record.document import NotADocument, content_from
from tests.record import sample


def test_values_become_what_they_are():
    content = content_from(sample.return_record())
    assert content.rental.odometer_out == Decimal(41206)
    assert content.rental.left_at.utcoffset() == timedelta(hours=1)
    assert content.marks[0].since == date(2026, 4, 4)
    assert content.walk_rounds[0].stations[0].readings[0].value == Decimal("82.0")


def test_null_stays_none():
    content = content_from(sample.pickup_record())
    assert content.statement is None
    assert content.rental.came_back_at is None
    assert content.walk("return") is None


def test_digits_are_kept():
    assert str(content_from(sample.return_record()).statement.lines[1].due) == "0.00"


def test_texts_are_made_printable():
    document = sample.return_record()
    document["rental"]["customer"] = "Maren\x00 🙂"
    assert content_from(document).rental.customer == "Maren [slightly smiling face]"


@pytest.mark.parametrize(
    ("part", "key", "value", "where"),
    [
        ("record", "version", "1", "document.record.version"),
        ("record", "version", True, "document.record.version"),
        ("record", "kind", "handover", "document.record.kind"),
        ("record", "made_at", "2026-08-18T12:33:00", "document.record.made_at"),
        ("rental", "deposit", 500.0, "document.rental.deposit"),
        ("rental", "deposit", "500 pounds", "document.rental.deposit"),
        ("rental", "deposit", "NaN", "document.rental.deposit"),
        ("rental", "customer", None, "document.rental.customer"),
        ("rental", "drivers", "Maren", "document.rental.drivers"),
        ("ledger", "day_seal", "18 Aug 2026", "document.ledger.day_seal"),
        ("unit", "layout", [], "document.unit.layout"),
    ],
)
def test_a_wrong_value_is_named_by_its_place(part, key, value, where):
    document = sample.return_record()
    document[part] = {**document[part], key: value}
    with pytest.raises(NotADocument) as refusal:
        content_from(document)
    assert where in str(refusal.value)


def test_a_missing_key_is_named():
    document = sample.return_record()
    del document["rental"]["excess"]
    with pytest.raises(NotADocument, match=r"document\.rental has not exactly the keys of RentalFacts: excess"):
        content_from(document)


def test_an_unknown_key_is_named():
    with pytest.raises(NotADocument, match="colour"):
        content_from({**sample.return_record(), "colour": "heather"})


def test_another_schema_is_refused():
    with pytest.raises(NotADocument, match=r"levelpeg\.record/1"):
        content_from({**sample.return_record(), "schema": "levelpeg.record/2"})


def dataclasses_of(kind: object) -> set[type]:
    """Every dataclass that a record is made of."""
    if is_dataclass(kind):
        inner = (dataclasses_of(hint) for hint in get_type_hints(kind).values())
        return {kind}.union(*inner)
    return set().union(*(dataclasses_of(part) for part in get_args(kind) if part is not Ellipsis))


def test_every_key_stands_in_the_written_schema():
    for kind in dataclasses_of(record_content.RecordContent):
        for field in fields(kind):
            assert field.name in record_document.__doc__, f"{kind.__name__}.{field.name}"
