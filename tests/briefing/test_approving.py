"""Approving a translation, and taking it back: by a right, bound to what was read, in the ledger."""

import json

import pytest

from fleet.models import TopicText
from handover.acting import CannotBe
from handover.briefing.actions import approve, take_back
from shared.access.scope import NotAllowed
from shared.ledger.models import Entry
from tests.factories import an_act


def test_it_stands_in_the_ledger_of_the_layout(approved, valves, maeve):
    entry = Entry.objects.get(kind="translation.approved")
    assert (entry.chain, entry.subject, entry.actor) == (valves.station.layout_id, approved.pk, maeve)
    said = json.loads(entry.payload)
    assert said == {"topic": "gas_valves", "station": 2, "language": "de", "both_sha256": approved.both_sha256}


@pytest.mark.parametrize("person", ["isla", "ruth", "callum"])
def test_only_who_sets_up_may(german, person, request):
    with pytest.raises(NotAllowed):
        approve(german, read_sha256=german.both_sha256, act=an_act(request.getfixturevalue(person)))
    assert not TopicText.objects.get().is_approved


def test_an_administrator_may(german, anders):
    assert approve(german, read_sha256=german.both_sha256, act=an_act(anders)).approved_by == anders


@pytest.mark.parametrize("read", ["", "0" * 64])
def test_what_was_not_read_is_not_approved(german, maeve, read):
    with pytest.raises(CannotBe, match="Read both again"):
        approve(german, read_sha256=read, act=an_act(maeve))
    assert not Entry.objects.filter(kind="translation.approved").exists()


def test_a_text_changed_meanwhile_is_not_approved(german, valves, maeve):
    read = german.both_sha256
    valves.text = "Shut three valves."
    valves.save()
    with pytest.raises(CannotBe):
        approve(german, read_sha256=read, act=an_act(maeve))


def test_a_replay_approves_once(german, maeve):
    act = an_act(maeve)
    first, second = (approve(german, read_sha256=german.both_sha256, act=act) for _ in range(2))
    assert first == second
    assert Entry.objects.filter(kind="translation.approved").count() == 1


def test_one_that_was_behind_is_so_no_longer(german, valves, maeve):
    valves.text = "Shut both valves first."
    valves.save()
    german.topic.refresh_from_db()
    assert not approve(german, read_sha256=german.both_sha256, act=an_act(maeve)).is_behind


def test_taken_back_it_is_a_draft(approved, anders):
    kept = take_back(approved, act=an_act(anders))
    assert not kept.is_approved
    assert kept.approved_by is None
    assert Entry.objects.filter(kind="translation.taken_back", actor=anders).exists()


def test_a_draft_cannot_be_taken_back(german, maeve):
    with pytest.raises(CannotBe, match="a draft already"):
        take_back(german, act=an_act(maeve))


def test_a_host_takes_nothing_back(approved, isla):
    with pytest.raises(NotAllowed):
        take_back(approved, act=an_act(isla))
    assert TopicText.objects.get().is_approved
