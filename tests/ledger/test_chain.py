import json
from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta, timezone
from hashlib import sha256
from uuid import UUID

import pytest

from shared.canonical import canonical
from shared.ledger.chain import START, Link, hashed_form, instant, link_digest

PERSON = UUID("01980000-0000-7000-8000-000000000001")
LINK = Link(
    id=UUID("01980000-0000-7000-8000-000000000002"),
    chain=UUID("01980000-0000-7000-8000-000000000003"),
    sequence=1,
    kind="mark.seen",
    payload='{"note":"crazed \\"star\\" é","size":"40"}',
    actor=PERSON,
    device="tablet 2",
    happened_at=datetime(2026, 7, 4, 8, 15, tzinfo=UTC),
    recorded_at=datetime(2026, 7, 4, 8, 15, 2, 250000, tzinfo=UTC),
    key=UUID("01980000-0000-7000-8000-000000000004"),
    subject=None,
    rows='{"handover.reading:0198":"00"}',
    previous=START,
)
WRITTEN_OUT = {
    "actor": "01980000-0000-7000-8000-000000000001",
    "chain": "01980000-0000-7000-8000-000000000003",
    "device": "tablet 2",
    "happened_at": "2026-07-04T08:15:00.000000Z",
    "id": "01980000-0000-7000-8000-000000000002",
    "key": "01980000-0000-7000-8000-000000000004",
    "kind": "mark.seen",
    "payload": {"note": 'crazed "star" é', "size": "40"},
    "previous": START,
    "recorded_at": "2026-07-04T08:15:02.250000Z",
    "rows": {"handover.reading:0198": "00"},
    "sequence": 1,
    "subject": None,
}
OTHERWISE = {
    "id": PERSON,
    "chain": PERSON,
    "sequence": 2,
    "kind": "mark.found",
    "payload": '{"note":"none"}',
    "actor": None,
    "device": "tablet 3",
    "happened_at": LINK.happened_at - timedelta(microseconds=1),
    "recorded_at": LINK.recorded_at + timedelta(microseconds=1),
    "key": PERSON,
    "subject": PERSON,
    "rows": "",
    "previous": "1" * 64,
}


def test_hashed_form_is_the_canonical_json_of_the_whole_entry() -> None:
    assert hashed_form(LINK) == canonical(WRITTEN_OUT)


def test_an_entry_without_rows_has_no_such_key() -> None:
    without = {name: value for name, value in WRITTEN_OUT.items() if name != "rows"}
    assert hashed_form(replace(LINK, rows="")) == canonical(without)


@pytest.mark.parametrize("text", ['"', "\\", "/", "\n\t\b\f\r", "\x00\x1f\x7f", "é", "\u2028", "\U0001f69a", "<&>"])
def test_any_text_is_written_as_rfc_8785_says(text: str) -> None:
    odd = replace(LINK, device=text, kind=text, previous=text)
    assert hashed_form(odd) == canonical({**WRITTEN_OUT, "device": text, "kind": text, "previous": text})


def test_digest_can_be_made_without_this_program() -> None:
    plain = json.dumps(WRITTEN_OUT, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    assert link_digest(LINK) == sha256(plain).hexdigest()


@pytest.mark.parametrize("column", [field.name for field in fields(Link)])
def test_every_column_changes_the_digest(column: str) -> None:
    assert link_digest(replace(LINK, **{column: OTHERWISE[column]})) != link_digest(LINK)


def test_payload_with_other_spacing_has_another_digest() -> None:
    assert link_digest(replace(LINK, payload=LINK.payload.replace(",", ", "))) != link_digest(LINK)


def test_time_is_written_in_utc_to_the_microsecond() -> None:
    in_summer = datetime(2026, 7, 4, 9, 15, tzinfo=timezone(timedelta(hours=1)))
    assert instant(in_summer) == "2026-07-04T08:15:00.000000Z"
