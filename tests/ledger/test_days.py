"""What the entries of a day come to, and what a seal that says otherwise is told."""

from datetime import UTC, date, datetime, timedelta
from unittest.mock import patch

import pytest

from shared.canonical import canonical_text
from shared.ledger.day_document import NoDocument, document_digest, document_of, read_document
from shared.ledger.days import day_of, days_to_seal, unsealed, verify_days
from shared.ledger.extract import chain_extract
from shared.ledger.merkle import is_included, leaf_hash, node_hash, root
from shared.ledger.models import DaySeal, Entry
from shared.ledger.writing import append  # noqa: F401 the module is patched by name
from tests.ledger.conftest import OTHER_RENTAL, RENTAL, Write
from tests.ledger.forcing import force

MONDAY, TUESDAY, WEDNESDAY = (date(2026, 8, day) for day in (17, 18, 19))
CHAINS = [RENTAL, OTHER_RENTAL]


def at(day: date, hour: int = 9) -> datetime:
    return datetime(day.year, day.month, day.day, hour, tzinfo=UTC)


@pytest.fixture
def written(write: Write) -> list[Entry]:
    """Monday both chains, Tuesday one of them twice."""
    entries = []
    for day, hour, chain in ((MONDAY, 8, 0), (MONDAY, 9, 1), (MONDAY, 23, 0), (TUESDAY, 0, 1), (TUESDAY, 9, 1)):
        with patch("django.utils.timezone.now", return_value=at(day, hour)):
            entries.append(write(chain=CHAINS[chain]))
    return entries


def seal(day: date) -> DaySeal:
    """Unsigned: the signature is looked at elsewhere."""
    earlier = list(DaySeal.objects.order_by("number").values_list("document", flat=True))
    document = document_of(day_of(day), earlier=earlier, sealed_at=at(WEDNESDAY))
    kept = DaySeal(number=len(earlier) + 1, day=day, document=document, signature=b"none", stamp=b"")
    DaySeal.objects.bulk_create([kept])
    return kept


@pytest.fixture
def seals(written) -> list[DaySeal]:
    return [seal(MONDAY), seal(TUESDAY)]


def test_leaves_are_the_heads_as_the_day_ended(written):
    monday = day_of(MONDAY)
    assert monday.entries == 3
    assert [(leaf.chain, leaf.sequence, leaf.digest) for leaf in monday.leaves] == [
        (RENTAL, 2, written[2].digest),
        (OTHER_RENTAL, 1, written[1].digest),
    ]


def test_a_chain_that_was_not_written_to_is_no_leaf(written):
    assert [(leaf.chain, leaf.sequence) for leaf in day_of(TUESDAY).leaves] == [(OTHER_RENTAL, 3)]


def test_a_day_is_closed_a_quarter_of_an_hour_after_midnight(written):
    assert days_to_seal(at(WEDNESDAY, 0) + timedelta(minutes=14)) == [MONDAY]
    assert days_to_seal(at(WEDNESDAY, 0) + timedelta(minutes=15)) == [MONDAY, TUESDAY]


def test_what_is_sealed_is_not_sealed_again(written):
    seal(MONDAY)
    assert days_to_seal(at(WEDNESDAY)) == [TUESDAY]
    assert unsealed() == 2


def test_a_sealed_day_gets_no_new_entry(written, write: Write):
    seal(MONDAY)
    seal(TUESDAY)
    with patch("django.utils.timezone.now", return_value=at(MONDAY, 12)):
        late = write(chain=RENTAL)
    assert late.recorded_at == at(WEDNESDAY, 0)
    assert list(verify_days()) == []


def test_seals_as_made_hold(seals):
    assert list(verify_days()) == []


def test_the_document_names_what_was_before(seals):
    first, second = (read_document(each.document) for each in seals)
    assert first["history"] == {"size": 0, "root": root([]).hex()}
    assert second["previous"] == document_digest(seals[0].document)
    assert second["history"] == {"size": 1, "root": leaf_hash(bytes.fromhex(second["previous"])).hex()}


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"form":"day-seal/2"}', '{"form": "day-seal/1"}'])
def test_what_is_no_document(text):
    with pytest.raises(NoDocument):
        read_document(text)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("number", 2), ("day", "2026-08-16"), ("zone", "Europe/London"), ("entries", 4), ("leaves", 1), ("root", "00"),
        ("previous", "00"), ("history", {"size": 1, "root": "00"}),
    ],
)  # fmt: skip
def test_a_document_that_says_otherwise_is_told(seals, name, value):
    said = read_document(seals[0].document)
    force("UPDATE shared_dayseal SET document = %s WHERE number = 1", canonical_text({**said, name: value}))
    assert f"Day seal 1, 2026-08-17 says {name} " in next(verify_days())


def test_an_entry_changed_with_its_whole_chain_is_told(seals, written):
    force("UPDATE shared_entry SET digest = %s WHERE chain = %s AND sequence = 3", "1" * 64, raw(OTHER_RENTAL))
    assert [said[:40] for said in verify_days()] == ["Day seal 2, 2026-08-18 says root " + said_root(seals[1])[:7]]


def said_root(seal: DaySeal) -> str:
    return str(read_document(seal.document)["root"])


def raw(pk):
    from django.db import connection

    return pk if connection.features.has_native_uuid_field else pk.hex


def test_a_seal_taken_away_is_told(seals):
    force("DELETE FROM shared_dayseal WHERE number = 1")
    found = list(verify_days())
    assert "Day seal 2, 2026-08-18 stands where number 1 belongs: a seal is missing, added or out of order." in found
    assert "2026-08-17 has entries and no seal, and a later day is sealed." in found


def test_seals_in_another_order_are_told(seals):
    for old, new in ((1, 9), (2, 1), (9, 2)):
        force("UPDATE shared_dayseal SET number = %s WHERE number = %s", new, old)
    assert "is another number than the one it is kept under" in " ".join(verify_days())


def test_no_day_is_no_problem(db):
    assert list(verify_days()) == []


def test_extract_proves_each_day_of_a_chain(seals):
    told = chain_extract(OTHER_RENTAL)
    assert [entry["sequence"] for entry in told["entries"]] == [1, 2, 3]
    assert [sealed["day"] for sealed in told["day_seals"]] == ["2026-08-17", "2026-08-18"]
    for sealed in told["day_seals"]:
        proof = [bytes.fromhex(part["hash"]) for part in sealed["proof"]]
        tree = bytes.fromhex(sealed["root"])
        assert is_included(sealed["leaf"].encode(), sealed["position"], sealed["leaves"], proof, tree)


@pytest.mark.parametrize("size", [1, 2, 3, 5, 6, 7, 8, 13])
def test_the_sides_of_a_proof_lead_to_the_root(size):
    from shared.ledger.extract import _proof

    leaves = [bytes([number]) for number in range(size)]
    for position in range(size):
        reached = leaf_hash(leaves[position])
        for part in _proof(leaves, position):
            beside = bytes.fromhex(part["hash"])
            reached = node_hash(beside, reached) if part["side"] == "left" else node_hash(reached, beside)
        assert reached == root(leaves)


def test_of_an_unknown_chain_there_is_no_extract(db):
    with pytest.raises(LookupError):
        chain_extract(RENTAL)
