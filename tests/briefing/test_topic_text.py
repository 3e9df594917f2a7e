"""A translation is approved only while both texts are those that were read."""

import pytest
from django.db import IntegrityError, transaction

from fleet.languages import ENGLISH, briefed_in
from fleet.models import TopicText, english_sha256
from tests.briefing.conftest import said_in


def test_it_begins_as_a_draft_of_the_english_as_it_stands(german, valves):
    assert not german.is_approved
    assert not german.is_behind
    assert german.english_sha256 == english_sha256(valves)


def test_approved_it_says_by_whom_and_when(approved, maeve):
    assert approved.is_approved
    assert approved.approved_by == maeve
    assert approved.approved_at is not None


@pytest.mark.parametrize("field", ["title", "text"])
def test_a_change_of_the_english_makes_it_a_draft(approved, valves, field):
    setattr(valves, field, "Shut three valves.")
    valves.save()
    kept = TopicText.objects.get(pk=approved.pk)
    assert not kept.is_approved
    assert kept.is_behind


@pytest.mark.parametrize("field", ["title", "text"])
def test_a_change_of_its_own_makes_it_a_draft(approved, field):
    setattr(approved, field, "Drei Ventile schließen.")
    approved.save()
    kept = TopicText.objects.get(pk=approved.pk)
    assert not kept.is_approved
    assert not kept.is_behind


def test_a_change_past_the_model_makes_it_a_draft_too(approved):
    TopicText.objects.update(text="Ein Ventil schließen.")
    assert not TopicText.objects.get(pk=approved.pk).is_approved


def test_the_english_changed_back_is_what_was_read(approved, valves):
    was, valves.text = valves.text, "Shut three valves."
    valves.save()
    valves.text = was
    valves.save()
    assert TopicText.objects.get(pk=approved.pk).is_approved


def test_written_anew_it_translates_the_english_of_now(german, valves):
    valves.text = "Shut three valves."
    valves.save()
    TopicText.objects.update_or_create(topic=valves, language="de", defaults={"text": "Drei Ventile schließen."})
    assert not TopicText.objects.get(pk=german.pk).is_behind


def test_one_text_a_language(german, valves):
    with pytest.raises(IntegrityError), transaction.atomic():
        said_in(valves, "de")
    assert TopicText.objects.count() == 1


def test_nothing_is_approved_by_nobody(german):
    with pytest.raises(IntegrityError, match="approved_by_a_named_person"), transaction.atomic():
        TopicText.objects.update(approved_sha256=german.both_sha256)
    assert not TopicText.objects.get().is_approved


@pytest.mark.parametrize(("tag", "name"), [("de-CH", "Deutsch"), ("NL", "Nederlands"), ("ar_MA", "العربية")])
def test_a_tag_finds_its_language(tag, name):
    assert briefed_in(tag).name == name


@pytest.mark.parametrize("tag", ["", "fi", "dex", "zh-Hant"])
def test_what_we_do_not_brief_in_is_english(tag):
    assert briefed_in(tag) == ENGLISH
