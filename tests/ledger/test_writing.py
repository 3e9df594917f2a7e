from datetime import UTC, datetime, timedelta
from unittest.mock import patch
from uuid import UUID

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import ProtectedError

from shared.ids import uuid7
from shared.ledger.chain import START, link_digest
from shared.ledger.models import ChainHead, Entry
from shared.ledger.writing import AlreadyAppended, KeyReused, NotInTransaction, append, seen
from shared.models import Person
from tests.ledger.conftest import EIGHT, OTHER_RENTAL, RENTAL, Write

KEY = UUID("01980000-0000-7000-8000-00000000beef")


def test_first_entry_starts_the_chain(write: Write) -> None:
    entry = write()
    assert (entry.sequence, entry.previous) == (1, START)


def test_next_entry_names_the_one_before(write: Write) -> None:
    first, second = write(), write()
    assert (second.sequence, second.previous) == (2, first.digest)


def test_chains_do_not_mix(write: Write) -> None:
    write()
    assert write(chain=OTHER_RENTAL).sequence == 1


def test_stored_entry_has_the_digest_of_its_columns(write: Write) -> None:
    entry = Entry.objects.get(pk=write(subject=uuid7()).pk)
    assert link_digest(entry.link) == entry.digest


def test_head_follows(chain: list[Entry]) -> None:
    head = ChainHead.objects.get(chain=RENTAL)
    assert (head.sequence, head.digest, head.recorded_at) == (5, chain[-1].digest, chain[-1].recorded_at)


def test_payload_is_kept_as_canonical_json(write: Write) -> None:
    assert write(payload={"b": "é", "a": None}).payload == '{"a":null,"b":"é"}'


def test_program_acts_as_nobody(write: Write) -> None:
    assert write(by=None).actor is None


def test_happened_earlier_than_recorded(write: Write) -> None:
    entry = write(happened_at=EIGHT)
    assert entry.happened_at == EIGHT < entry.recorded_at


def test_clock_set_back_does_not_turn_the_chain_around(write: Write) -> None:
    first = write()
    with patch("django.utils.timezone.now", return_value=first.recorded_at - timedelta(hours=1)):
        assert write().recorded_at == first.recorded_at


def test_time_without_zone_is_refused(write: Write) -> None:
    with pytest.raises(ValueError, match="names its zone"):
        write(happened_at=EIGHT.replace(tzinfo=None))


@pytest.mark.parametrize("kind", ["", "reading", "Reading.taken", "reading taken", "reading.", "r" * 60 + ".taken"])
def test_kind_is_dotted_text(write: Write, kind: str) -> None:
    with pytest.raises(ValidationError):
        write(kind=kind)


def test_device_is_short(write: Write) -> None:
    with pytest.raises(ValidationError):
        write(device="t" * 65)


def test_refused_entry_leaves_nothing(write: Write) -> None:
    with pytest.raises(ValidationError):
        write(kind="wrong")
    assert not Entry.objects.exists()
    assert not ChainHead.objects.exists()


def test_new_key_has_not_been_seen(isla: Person) -> None:
    with transaction.atomic():
        assert seen(KEY, chain=RENTAL, kind="reading.taken") is None


def test_replay_finds_its_entry(write: Write) -> None:
    entry = write(key=KEY)
    with transaction.atomic():
        assert seen(KEY, chain=RENTAL, kind="reading.taken") == entry


@pytest.mark.parametrize("other", [{"chain": OTHER_RENTAL}, {"kind": "mark.seen"}])
def test_key_of_another_act_is_refused(write: Write, other: dict[str, object]) -> None:
    write(key=KEY)
    with pytest.raises(KeyReused, match=r"already stands for reading\.taken"), transaction.atomic():
        seen(KEY, **{"chain": RENTAL, "kind": "reading.taken", **other})  # type: ignore[arg-type]
    with pytest.raises(KeyReused):
        write(key=KEY, **other)


def test_act_done_twice_is_rolled_back(write: Write) -> None:
    write(key=KEY)
    with pytest.raises(AlreadyAppended):
        write(key=KEY)
    assert Entry.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_append_needs_the_transaction_of_its_action() -> None:
    with pytest.raises(NotInTransaction):
        append(chain=RENTAL, kind="rental.booked", payload={}, by=None, key=KEY, happened_at=datetime.now(UTC))
    with pytest.raises(NotInTransaction):
        seen(KEY, chain=RENTAL, kind="rental.booked")


def test_person_with_entries_cannot_be_deleted(write: Write, isla: Person) -> None:
    write()
    with pytest.raises(ProtectedError):
        isla.delete()


def test_append_costs_three_queries(write: Write, django_assert_num_queries: object) -> None:
    """Where the chain stands, entry, head; opening and releasing the savepoint make five."""
    write()
    with django_assert_num_queries(5):  # type: ignore[operator]
        write()


def test_entry_says_what_it_is(write: Write) -> None:
    assert str(write()) == f"reading.taken, entry 1 of {RENTAL}"
    assert str(ChainHead.objects.get()) == f"{RENTAL} at 1"
