"""What is kept of a Topic: in which language, which words, how long; and what lets the keys go."""

import json

import pytest

from handover.acting import CannotBe
from handover.briefing.texts import words_in, words_sha256
from handover.walkround.actions import finish, hear_topic
from handover.walkround.forms import shown_stamp
from handover.walkround.models import TopicHeard
from shared.ledger.models import Entry
from tests.briefing.conftest import asks_of, reader_of
from tests.factories import NINE, an_act
from tests.walkround.conftest import asked, press

VALVES = "Gas valves"


def hear(person, walk, title=VALVES, **said):
    press(person, "hear-topic", walk.pk, 2, asked(walk, title), **{"outcome": "understood"} | said)
    return TopicHeard.objects.order_by("at").last()


def digest_in(walk, language):
    return words_sha256(words_in(asks_of(walk)[VALVES], language))


def test_the_words_that_stood_on_the_screen_are_kept(isla, pickup):
    heard = hear(isla, pickup, language="de", text_sha256=digest_in(pickup, "de"))
    assert (heard.language, heard.text_sha256) == ("de", digest_in(pickup, "de"))


def test_the_ledger_says_them_too(isla, pickup):
    heard = hear(isla, pickup, language="ar")
    said = json.loads(Entry.objects.get(kind="topic.heard").payload)
    assert (said["language"], said["text_sha256"]) == ("ar", heard.text_sha256)


def test_the_digest_counts_where_the_language_says_another(isla, pickup):
    assert hear(isla, pickup, language="de", text_sha256=digest_in(pickup, "ar")).language == "ar"


def test_without_either_it_is_the_customers_language(isla, pickup):
    reader_of(pickup, "ar")
    assert hear(isla, pickup).text_sha256 == digest_in(pickup, "ar")


def test_words_that_the_sheet_does_not_know_are_kept_as_they_came(isla, pickup):
    heard = hear(isla, pickup, language="de", text_sha256="a" * 64)
    assert (heard.language, heard.text_sha256) == ("de", "a" * 64)


@pytest.mark.parametrize("sent", ["", "A" * 64, "a" * 63, "<script>", "\u0663" * 64])
def test_what_is_no_digest_is_not_kept(isla, pickup, sent):
    assert hear(isla, pickup, text_sha256=sent).text_sha256 == digest_in(pickup, "en")


@pytest.mark.parametrize(("sent", "kept"), [("17", 17), ("0", 0), ("99999", 3600)])
def test_the_time_is_the_tablets_where_it_measured(isla, pickup, sent, kept):
    assert hear(isla, pickup, seconds=sent, shown_at=shown_stamp(NINE)).seconds == kept


@pytest.mark.parametrize("sent", ["", "-4", "1.5", "9" * 5000, "٤"])
def test_what_is_no_time_falls_back_to_the_page(isla, pickup, sent):
    assert hear(isla, pickup, seconds=sent).seconds is None


@pytest.mark.parametrize("outcome", ["understood", "explained", "shown", "declined"])
def test_each_word_is_kept(isla, pickup, outcome):
    assert hear(isla, pickup, "Vents", outcome=outcome).get_outcome_display() == outcome


def test_another_word_is_refused(isla, pickup):
    answer = press(isla, "hear-topic", pickup.pk, 2, asked(pickup, VALVES), outcome="nodded", htmx=True)
    assert answer.status_code == 422
    assert not TopicHeard.objects.exists()


@pytest.mark.parametrize("outcome", ["explained", "shown"])
def test_the_hosts_word_does_not_settle_what_can_hurt(isla, ruth, pickup, outcome):
    hear(isla, pickup, outcome=outcome)
    for person in (isla, ruth):
        with pytest.raises(CannotBe, match="Keys stay here until these are understood: Gas valves"):
            finish(pickup, act=an_act(person))


def test_declined_is_let_through_by_who_may_release(isla, ruth, pickup):
    hear(isla, pickup, outcome="declined")
    with pytest.raises(CannotBe, match="Keys stay here"):
        finish(pickup, act=an_act(isla))
    with pytest.raises(CannotBe, match="Still to sign"):
        finish(pickup, act=an_act(ruth))


def test_what_cannot_hurt_keeps_no_keys(isla, pickup):
    hear(isla, pickup)
    hear_topic(pickup, item=asked(pickup, "Vents"), outcome="declined", act=an_act(isla))
    with pytest.raises(CannotBe, match="Still to sign"):
        finish(pickup, act=an_act(isla))
