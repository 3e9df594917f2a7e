"""The contract of a station's HTML with the tablet: parts, what each asks, what was answered, what follows."""

import json
import re

import pytest
from django.test import Client
from django.urls import reverse

from handover.walkround.models import CheckAnswer
from handover.walkround.progress import open_words
from tests.walkround.conftest import asked, look, press, text_of

KINDS = {"check", "reading", "count", "seal", "topic", "mark", "judge", "rest", "photo", "release", "language"}


def station(person, walk, number):
    return text_of(look(person, "station", walk.pk, number))


def part(page, name):
    """The opening tag of a part."""
    found = re.search(rf'<[a-z]+[^>]* id="{name}"[^>]*>', page)
    assert found, name
    return found[0]


def number_of(walk, code):
    return next(row.number for row in walk.sheet.data.stations if asked(walk, code) in _asked_at(row))


def _asked_at(row):
    return {ask.id for ask in (*row.checks, *row.instruments, *row.counts, *row.kits, *row.topics)}


@pytest.mark.parametrize("number", [1, 2])
def test_every_caught_form_names_a_known_kind_and_stands_in_a_part(isla, pickup, number):
    page = re.search(r"<main.*</main>", station(isla, pickup, number), re.DOTALL)[0]
    forms = re.findall(r"<form[^>]*>", page)
    assert forms
    for form in forms:
        kind = re.search(r'data-kind="([\w-]+)"', form)
        assert kind, form
        assert kind[1] in KINDS


def test_main_says_which_walk_and_station(isla, pickup):
    main = part(station(isla, pickup, 2), "main")
    assert f'data-walk="{pickup.pk}"' in main
    assert 'data-station="2"' in main
    assert 'data-kind-of-walk="pickup"' in main


def test_parts_have_ids_of_their_own(isla, pickup):
    for number in (1, 2):
        page = _without_templates(station(isla, pickup, number))
        names = re.findall(r'<[a-z]+[^>]* id="([^"]+)"[^>]* data-part', page)
        assert len(names) == len(set(names)) > 5


def _without_templates(page):
    return re.sub(r"<template.*?</template>", "", page, flags=re.DOTALL)


def test_an_open_question_has_no_answer_yet(isla, pickup):
    item = asked(pickup, "Smell of gas")
    tag = part(station(isla, pickup, number_of(pickup, "Smell of gas")), f"check-{item}")
    assert 'data-asked="check"' in tag
    assert 'data-what="Smell of gas"' in tag
    assert "data-answer" not in tag


def test_an_answered_one_carries_which_answer_and_in_which_words(isla, pickup):
    number, item = number_of(pickup, "Smell of gas"), asked(pickup, "Smell of gas")
    press(isla, "answer-check", pickup.pk, number, item, word="good")
    tag = part(station(isla, pickup, number), f"check-{item}")
    assert f'data-answer="{CheckAnswer.objects.get().pk}"' in tag
    assert 'data-said="None"' in tag
    assert 'data-by="Isla M."' in tag


def test_what_a_bad_answer_brings_stands_by(isla, pickup):
    number, item = number_of(pickup, "Smell of gas"), asked(pickup, "Smell of gas")
    page = station(isla, pickup, number)
    assert '<template data-when="word=bad">' in page
    assert "data-stop=" in part(page, f"check-{item}")
    assert '<template data-go="held">' in page


def test_at_a_return_nothing_holds_the_keys(callum, back):
    number, item = number_of(back, "Smell of gas"), asked(back, "Smell of gas")
    page = station(callum, back, number)
    assert "data-stop=" not in part(page, f"check-{item}")
    assert "data-go=" not in page


def test_each_topic_says_whether_it_was_heard(isla, pickup):
    number = next(row.number for row in pickup.sheet.data.stations if row.topics)
    topic = pickup.sheet.data.station(number).topics[0]
    assert "data-answer" not in part(station(isla, pickup, number), f"topic-{topic.id}")
    press(isla, "hear-topic", pickup.pk, number, topic.id, outcome="understood")
    assert "data-answer" in part(station(isla, pickup, number), f"topic-{topic.id}")


def test_any_number_of_open_questions_has_its_words(isla, pickup):
    row = next(row for row in pickup.sheet.data.stations if len(row.instruments) > 1)
    words = open_words(row, "pickup")
    assert words["reading"] == ["1 reading", "2 readings"]
    line = part(station(isla, pickup, row.number), "still-open")
    said = re.search(r'data-left="([^"]*)"', line)
    assert said
    assert json.loads(said[1].replace("&quot;", '"'))["reading"] == words["reading"]


def test_the_look_through_can_be_ended_without_the_server(isla, pickup):
    page = text_of(look(isla, "sign-walk", pickup.pk))
    assert 'data-kind="hand-over"' in part(page, "ending")
    assert '<template data-ended="ending">' in page
    assert '<template data-ended="foot">' in page
    assert 'data-station="sign"' in part(page, "main")


def test_a_closed_walk_catches_nothing(isla, away):
    walk = away.legs.get().walk_rounds.get()
    page = station(isla, walk, 1)
    assert "data-kind=" not in page
    assert "data-left=" not in part(page, "still-open")


def test_the_shell_and_the_station_carry_the_same_words_for_scripts(isla, pickup):
    words = re.compile(r'<div id="words".*?></div>', re.DOTALL)
    shell = text_of(Client().get(reverse("shell")))
    assert words.search(shell)[0] == words.search(station(isla, pickup, 1))[0]


def test_every_pattern_that_scripts_ask_for_is_on_the_page(isla, pickup):
    """say("peg-done") reads data-peg-done: a missing one would show nothing."""
    page = station(isla, pickup, 1)
    said = re.search(r'<div id="words"(.*?)></div>', page, re.DOTALL)[1]
    there = set(re.findall(r"data-([a-z-]+)=", said))
    asked_for = {
        "sent",
        "unsent",
        "offline",
        "refused",
        "sign-in",
        "was",
        "heard",
        "of",
        "left",
        "nothing-left",
        "open",
    }
    assert asked_for | {f"peg-{state}" for state in ("todo", "part", "done", "wait")} <= there
