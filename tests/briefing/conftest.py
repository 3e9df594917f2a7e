"""A pickup whose Topics stand in other languages: the gas valves in German and Arabic, the vents in none."""

from typing import Any

import pytest

from fleet.models import Topic, TopicText
from handover.briefing.actions import approve
from handover.rental.models import Rental
from handover.walkround.models import WalkRound
from shared.access.models import Person
from tests.factories import an_act
from tests.playing import start

GERMAN = ("Gasventile", "Vor der Fahrt beide Ventile schließen. Bei Gasgeruch: Ventile zu, Türen auf, alle hinaus.")
ARABIC = ("صمامات الغاز", "أغلق الصمامين قبل القيادة. إذا شممت رائحة غاز فليخرج الجميع.")


def said_in(topic: Topic, language: str, words: tuple[str, str] = GERMAN) -> TopicText:
    text: TopicText = TopicText.objects.create(topic=topic, language=language, title=words[0], text=words[1])
    return text


@pytest.fixture
def valves(booked: Rental) -> Topic:
    """Safety-critical, at the gas locker."""
    return Topic.objects.get(code="gas_valves")


@pytest.fixture
def german(valves: Topic) -> TopicText:
    """A draft."""
    return said_in(valves, "de")


@pytest.fixture
def arabic(valves: Topic) -> TopicText:
    return said_in(valves, "ar", ARABIC)


@pytest.fixture
def approved(german: TopicText, maeve: Person) -> TopicText:
    """Maeve has read both."""
    return approve(german, read_sha256=german.both_sha256, act=an_act(maeve))


@pytest.fixture
def pickup(booked: Rental, isla: Person, german: TopicText, arabic: TopicText) -> WalkRound:
    """Begun by Isla, with both drafts."""
    return start(booked, "pickup", isla)


def reader_of(walk: WalkRound, language: str) -> None:
    """The customer as booked reads this language."""
    walk.leg.rental.customer.language = language
    walk.leg.rental.customer.save()


def asks_of(walk: WalkRound) -> dict[str, Any]:
    return {topic.title: topic for station in walk.sheet.data.stations for topic in station.topics}
