"""Topics: one at a time, by the customer's own press; what was declined is named."""

import re
from datetime import timedelta

from django.utils import timezone

from handover.walkround.forms import shown_stamp
from handover.walkround.models import TopicHeard
from tests.walkround.conftest import asked, look, press, text_of


def hear(person, walk, title="Gas valves", **said):
    data = {"outcome": "understood"} | said
    return press(person, "hear-topic", walk.pk, 2, asked(walk, title), htmx=True, **data)


def without_templates(said):
    """What is seen: templates stand by for a tablet without a network."""
    while said != (less := re.sub(r"<template(?:(?!<template).)*?</template>", "", said, flags=re.DOTALL)):
        said = less
    return said


def test_the_first_is_shown_alone(isla, pickup):
    said = text_of(look(isla, "station", pickup.pk, 2))
    assert "Topic 1 of 2: Gas valves" in said
    assert "Never cover them." not in without_templates(said)
    assert "Maren: I understand" in said


def test_the_next_appears_when_it_is_pressed(isla, pickup):
    assert "Topic 2 of 2: Vents" in without_templates(text_of(hear(isla, pickup)))


def test_who_heard_it_in_which_language(isla, pickup):
    pickup.leg.rental.customer.language = "nl"
    pickup.leg.rental.customer.save()
    hear(isla, pickup)
    heard = TopicHeard.objects.get()
    assert (heard.heard_by, heard.outcome) == ("Maren Oduya", "understood")
    assert heard.language == "en", "nobody wrote it in Dutch, so the English was shown"


def test_the_time_it_was_shown_is_kept(isla, pickup):
    hear(isla, pickup, shown_at=shown_stamp(timezone.now() - timedelta(seconds=21)))
    assert 21 <= TopicHeard.objects.get().seconds <= 25


def test_a_time_that_we_did_not_sign_is_none(isla, pickup):
    hear(isla, pickup, shown_at="2020-01-01T00:00:00+00:00")
    assert TopicHeard.objects.get().seconds is None


def test_after_lunch_is_no_hour_of_reading(isla, pickup):
    hear(isla, pickup, shown_at=shown_stamp(timezone.now() - timedelta(hours=5)))
    assert TopicHeard.objects.get().seconds == 3600


def test_a_declined_topic_comes_again_after_the_others(isla, pickup):
    hear(isla, pickup, outcome="declined")
    said = text_of(hear(isla, pickup, "Vents"))
    assert "Topic 1 of 2: Gas valves" in without_templates(said)
    assert "Gas valves: declined, Maren Oduya" in said


def test_all_heard_is_settled(isla, pickup):
    hear(isla, pickup)
    assert 'class="topic settled"' in text_of(hear(isla, pickup, "Vents"))


def test_a_return_has_no_topics(callum, back):
    assert 'id="topic"' not in text_of(look(callum, "station", back.pk, 2))
