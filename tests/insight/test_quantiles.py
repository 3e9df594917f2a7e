"""The database's percentiles against the definition: the value at place ceil(n p / 100)."""

import math

import pytest
from django.db.models import F, Value

from handover.insight.quantiles import quantiles
from handover.rental.models import Rental
from handover.walkround.models import TopicHeard, WalkRound
from shared.access.models import Person
from tests.factories import NINE
from tests.playing import item, start

SECONDS = [7, 3, 3, 41, 12, 90, 5, 18, 22, 2, 60]


@pytest.fixture
def walk(booked: Rental, isla: Person) -> WalkRound:
    return start(booked, "pickup", isla)


def hear(walk: WalkRound, by: Person, seconds: list[int]) -> None:
    topic = item(walk, "Gas valves").id
    for each in seconds:
        TopicHeard.objects.create(walk=walk, item_id=topic, outcome="understood", seconds=each, at=NINE, by=by)


@pytest.mark.parametrize("many", [1, 2, 3, 4, 9, 10, 11])
@pytest.mark.parametrize("percent", [10, 50, 90])
def test_nearest_rank(walk: WalkRound, isla: Person, many: int, percent: int) -> None:
    hear(walk, isla, SECONDS[:many])
    (found,) = quantiles(TopicHeard.objects.annotate(group=F("by"), label=Value("x"), value=F("seconds")), [percent])
    assert found.at == {percent: sorted(SECONDS[:many])[math.ceil(many * percent / 100) - 1]}
    assert found.many == many


def test_each_group_has_its_own(walk: WalkRound, isla: Person, callum: Person) -> None:
    hear(walk, isla, [1, 2, 3])
    hear(walk, callum, [10, 20])
    facts = TopicHeard.objects.annotate(group=F("by"), label=F("by__first_name"), value=F("seconds"))
    assert [(one.label, one.many, one.at[50]) for one in quantiles(facts, [50])] == [("Callum", 2, 10), ("Isla", 3, 2)]


def test_nothing_has_no_percentile(db: None) -> None:
    facts = TopicHeard.objects.annotate(group=F("by"), label=Value("x"), value=F("seconds"))
    assert quantiles(facts, [50]) == []
