"""An entry states the typed rows that its transaction wrote, and verify_ledger finds what was changed of them since."""

import json
from decimal import Decimal

import pytest
from django.db import connection, transaction

from handover.walkround import actions
from handover.walkround.models import CheckAnswer, Reading, WalkRound
from shared.ledger import rows
from shared.ledger.models import Entry, RowStated
from shared.ledger.personal import forget, personal
from shared.ledger.row_form import columns_of, name_of, row_digest
from shared.ledger.verifying import verify_all, verify_chain
from tests.factories import an_act
from tests.ledger.conftest import Write
from tests.ledger.forcing import force, run
from tests.playing import item, start


@pytest.fixture
def walk(booked, isla) -> WalkRound:
    return start(booked, "pickup", isla)


@pytest.fixture
def reading(walk, isla) -> Reading:
    return actions.take_reading(walk, item=item(walk, "diesel").id, typed="47.5", act=an_act(isla))


def stated(row) -> RowStated:
    return RowStated.objects.get(name=name_of(row))


def raw(pk):
    return pk if connection.features.has_native_uuid_field else pk.hex


def test_the_entry_states_the_row(reading):
    entry = Entry.objects.get(subject=reading.pk)
    index = stated(reading)
    assert json.loads(entry.rows) == {name_of(reading): index.digest}
    assert index.entry == entry.pk


def test_the_digest_is_over_the_columns_as_the_database_has_them(reading):
    kept = Reading.objects.get(pk=reading.pk)
    index = stated(kept)
    assert columns_of(kept)["value"] == "47.500"
    assert index.digest == row_digest(name_of(kept), index.salt, columns_of(kept))


def test_what_was_played_holds(reading):
    assert list(verify_all()) == []


@pytest.mark.parametrize(
    ("column", "value"),
    [("value", "47"), ("typed", "47.4"), ("doubt", "none"), ("half_width", "0"), ("at", "2026-08-14 08:00:00.000001")],
)
def test_a_forced_column_is_found(reading, column, value):
    run(f"UPDATE handover_reading SET {column} = %s WHERE id = %s", value, raw(reading.pk))  # noqa: S608
    found = list(verify_chain(reading.walk.leg.rental_id))
    assert found == [
        f"{name_of(reading)} is not what was recorded: its columns do not match the digest in entry "
        f"{stated(reading).entry}."
    ]


def test_a_deleted_row_is_found(reading):
    run("DELETE FROM handover_reading WHERE id = %s", raw(reading.pk))
    assert list(verify_all()) == [f"{name_of(reading)} is gone."]


def test_an_inserted_row_is_found(reading, isla):
    forged = Reading(walk=reading.walk, item_id=reading.item_id, value=Decimal(60), at=reading.at, by=isla)
    Reading.objects.bulk_create([forged])
    assert list(verify_all()) == [f"{name_of(forged)} is told by no entry: it was not written by an action."]


def test_an_inserted_row_with_an_index_is_found(reading, isla):
    forged = Reading(walk=reading.walk, item_id=reading.item_id, value=Decimal(60), at=reading.at, by=isla)
    Reading.objects.bulk_create([forged])
    digest = row_digest(name_of(forged), "00", columns_of(Reading.objects.get(pk=forged.pk)))
    RowStated.objects.create(name=name_of(forged), salt="00", digest=digest, entry=stated(reading).entry)
    assert list(verify_all()) == [
        f"{name_of(forged)} is not what entry {stated(reading).entry} states: it states no such digest."
    ]


def test_a_changed_index_is_found(reading):
    run("UPDATE shared_rowstated SET salt = '00' WHERE name = %s", name_of(reading))
    assert f"{name_of(reading)} is not what was recorded" in next(verify_all())


def test_a_lost_index_is_found(reading):
    run("DELETE FROM shared_rowstated WHERE name = %s", name_of(reading))
    assert "the list of what is stated does not lead there" in next(verify_all())


def test_a_row_put_back_to_what_it_was_before_is_found(walk, isla):
    """With the index put back to the older entry too, which does state the older row."""
    before = dict(RowStated.objects.filter(name=name_of(walk)).values("digest", "salt", "entry").get())
    kept = WalkRound.objects.filter(pk=walk.pk).values("language").get()
    with transaction.atomic():
        walk.language = "fr"
        walk.save(update_fields=["language"])
        an_act(isla).write(chain=walk.leg.rental_id, kind="briefing.language", subject=walk.pk, payload={})
    run("UPDATE handover_walkround SET language = %s WHERE id = %s", kept["language"], raw(walk.pk))
    RowStated.objects.filter(name=name_of(walk)).update(**before)
    found = list(verify_all())
    assert len(found) == 1
    assert "the list of what is stated does not lead there" in found[0]


def test_a_later_save_is_stated_anew(walk, isla):
    first = stated(walk)
    with transaction.atomic():
        walk.language = "fr"
        walk.save(update_fields=["language"])
        an_act(isla).write(chain=walk.leg.rental_id, kind="briefing.language", subject=walk.pk, payload={})
    assert stated(walk).digest != first.digest
    assert list(verify_all()) == []


def test_what_is_changed_past_save_is_stated_when_it_is_said(walk, isla):
    with transaction.atomic():
        WalkRound.objects.filter(pk=walk.pk).update(language="fr")
        rows.written([walk])
        an_act(isla).write(chain=walk.leg.rental_id, kind="briefing.language", subject=walk.pk, payload={})
    assert list(verify_all()) == []


def test_a_savepoint_rolled_back_takes_its_rows_along(walk, isla):
    answer = CheckAnswer(walk=walk, item_id=item(walk, "Cap and flap").id, word="good", at=walk.started_at, by=isla)
    with transaction.atomic():
        try:
            with transaction.atomic():
                answer.save(force_insert=True)
                raise LookupError
        except LookupError:
            pass
        an_act(isla).write(chain=walk.leg.rental_id, kind="check.left", subject=walk.pk, payload={})
    assert not RowStated.objects.filter(name=name_of(answer)).exists()


@pytest.mark.django_db(transaction=True)
def test_a_row_written_after_the_entry_gets_one_of_its_own(booked, isla):
    walk = start(booked, "pickup", isla)
    with transaction.atomic():
        an_act(isla).write(chain=walk.leg.rental_id, kind="briefing.language", subject=walk.pk, payload={})
        walk.language = "fr"
        walk.save(update_fields=["language"])
    last = Entry.objects.filter(chain=walk.leg.rental_id).order_by("sequence").last()
    problems = list(verify_chain(walk.leg.rental_id))
    force("DELETE FROM shared_entry")
    assert (last.kind, problems) == ("rows.stated", [])


def test_a_deletion_is_stated(walk, isla, write: Write):
    extra = booked_extra(walk)
    write(chain=walk.leg.rental_id)
    assert stated(extra).digest
    name = name_of(extra)
    with transaction.atomic():
        extra.delete()
        an_act(isla).write(chain=walk.leg.rental_id, kind="extra.taken_back", subject=walk.pk, payload={})
    assert RowStated.objects.get(name=name).digest == ""
    assert list(verify_all()) == []


def booked_extra(walk):
    from handover.rental.models import RentalExtra

    return RentalExtra.objects.create(
        rental=walk.leg.rental, name="20 L", covers={}, price=29, purchased_at=walk.started_at
    )


def test_an_erased_value_that_no_entry_tells_of_is_found(write: Write):
    digest = personal("Catriona Bell", kind="customer.name")["digest"]
    write(payload={"customer": {"kind": "customer.name", "digest": digest}})
    erased = "UPDATE shared_personalvalue SET value = '', salt = '', erased_at = (SELECT recorded_at FROM shared_entry)"
    run(erased)
    assert "is not what was recorded" in next(verify_all())


def test_an_erasure_with_its_entry_holds(write: Write):
    digest = personal("Catriona Bell", kind="customer.name")["digest"]
    write(payload={"customer": {"kind": "customer.name", "digest": digest}})
    assert forget(digest)
    write(kind="person.erased")
    assert list(verify_all()) == []


def test_a_personal_value_taken_away_is_found(write: Write):
    digest = personal("Catriona Bell", kind="customer.name")["digest"]
    write(payload={"customer": {"kind": "customer.name", "digest": digest}})
    run("DELETE FROM shared_personalvalue")
    assert f"No personal value has the digest {digest}, which an entry states." in list(verify_all())


def test_equal_rows_have_different_digests(reading, walk, isla):
    """A salt each: a name cannot be guessed from what the ledger states."""
    assert stated(reading).salt != stated(walk).salt
