"""The station page: what is on it, for whom, how far the walk has come, and in how many queries."""

import re

import pytest
from django.urls import reverse

from handover.walkround.models import CheckAnswer, Reading, WalkRound
from tests.factories import BACK_AT, NINE, RentalFactory, UnitFactory
from tests.playing import start
from tests.walkround.conftest import asked, look, press, text_of, work_of


def test_names_unit_customer_and_station(isla, pickup):
    said = text_of(look(isla, "station", pickup.pk, 2))
    for words in ("Pickup", "Unit 407", "LRK 407", "Maren Oduya, 14 Aug to 18 Aug", "Gas locker", "Kerb side, rear."):
        assert words in said


def test_a_return_names_its_arrival_in_the_branch_s_zone(callum, back):
    assert "Maren Oduya, back 11:00" in text_of(look(callum, "station", back.pk, 1))


def test_says_what_is_still_open(isla, pickup):
    said = text_of(look(isla, "station", pickup.pk, 2))
    assert "Still open: 1 reading, 2 checks, 1 count, 1 seal, 2 topics" in said


def test_a_check_of_the_return_is_not_asked_at_pickup(callum, back):
    assert "Right fuel" not in text_of(look(callum, "station", back.before.pk, 1))
    assert "Right fuel" in text_of(look(callum, "station", back.pk, 1))


def test_a_station_is_in_part_and_then_done(isla, pickup):
    press(isla, "answer-check", pickup.pk, 1, asked(pickup, "Cap and flap"), word="good")
    assert "Station 1, Filler, in part" in text_of(look(isla, "station", pickup.pk, 2))
    for code, typed in (("diesel", "82"), ("odometer", "66300")):
        press(isla, "take-reading", pickup.pk, 1, asked(pickup, code), typed=typed)
    said = text_of(look(isla, "station", pickup.pk, 2))
    assert "Station 1, Filler, done" in said
    assert "<b>1 of 2</b> done" in said


def test_the_way_leads_on_and_at_the_end_to_signing(isla, pickup):
    assert "2 Gas locker</a>" in text_of(look(isla, "station", pickup.pk, 1))
    said = text_of(look(isla, "station", pickup.pk, 2))
    assert f'href="{reverse("sign-walk", args=[pickup.pk])}"' in said


def test_the_walk_opens_where_something_is_open(isla, pickup):
    assert look(isla, "walk", pickup.pk)["Location"] == reverse("station", args=[pickup.pk, 1])


def test_the_second_vehicle_is_one_press_away(isla, pickup):
    other = RentalFactory(leg=UnitFactory(number="212"))
    start(other, "pickup", isla)
    assert "Unit 212, station 1" in text_of(look(isla, "station", pickup.pk, 1))


def test_a_vehicle_of_another_branch_is_not_offered(isla, ruth, pickup, port_averil):
    other = RentalFactory(branch=port_averil, leg=UnitFactory(number="266", branch=port_averil))
    start(other, "pickup", ruth)
    assert "Unit 266" not in text_of(look(isla, "station", pickup.pk, 1))


@pytest.mark.parametrize("page", ["station", "sign-walk", "walk"])
def test_another_branch_does_not_see_it(ida, pickup, page):
    assert look(ida, page, pickup.pk, *([1] if page == "station" else [])).status_code == 404


def test_a_station_that_is_not_there(isla, pickup):
    assert look(isla, "station", pickup.pk, 3).status_code == 404


@pytest.mark.parametrize("number", [1, 2])
def test_whose_role_does_not_do_it_only_looks(callum, pickup, number):
    said = work_of(look(callum, "station", pickup.pk, number))
    assert "<form" not in said
    assert "<input" not in said


def test_a_finished_walk_is_only_looked_at(isla, back):
    said = work_of(look(isla, "station", back.before.pk, 1))
    assert "<form" not in said
    assert "Signed and closed, 14 Aug, 09:00" in said
    assert "82.0 L" in said


def test_rest_as_pickup_answers_what_may_be_repeated(callum, isla, back):
    out = back.before
    for text in ("Smell of gas", "Floor drain clear"):
        CheckAnswer.objects.create(walk=out, item_id=asked(out, text), word="good", at=NINE, by=isla)
    assert "Rest as pickup" in text_of(look(callum, "station", back.pk, 2))
    press(callum, "rest-as-before", back.pk, 2)
    assert [answer.item.text for answer in back.checkanswers.all()] == ["Floor drain clear"]
    assert not Reading.objects.filter(walk=back).exists()


def test_nothing_before_nothing_to_repeat(isla, pickup):
    assert "Rest as" not in work_of(look(isla, "station", pickup.pk, 2))
    response = press(isla, "rest-as-before", pickup.pk, 2)
    assert response.status_code == 422
    assert "There is nothing from before to repeat at this station." in text_of(response)


@pytest.mark.parametrize("number", [1, 2])
def test_a_station_asks_the_database_at_most_fifteen_times(
    client, callum, isla, back, number, django_assert_max_num_queries
):
    for unit in ("212", "305", "118"):
        start(RentalFactory(leg=UnitFactory(number=unit)), "pickup", isla, at=BACK_AT)
    press(callum, "take-reading", back.pk, 1, asked(back, "diesel"), typed="47.5")
    client.force_login(callum)
    with django_assert_max_num_queries(15):
        client.get(reverse("station", args=[back.pk, number]))


def test_an_answer_asks_no_more_with_more_answers(client, isla, pickup, django_assert_max_num_queries):
    client.force_login(isla)
    address = reverse("answer-check", args=[pickup.pk, 1, asked(pickup, "Cap and flap")])
    form = {"key": "01980000-0000-7000-8000-00000000c001", "word": "bad"}
    for _ in range(9):
        press(isla, "answer-check", pickup.pk, 1, asked(pickup, "Cap and flap"), word="good")
    with django_assert_max_num_queries(30):
        client.post(address, form, headers={"HX-Request": "true"})


def test_no_id_stands_twice_on_a_page(callum, back):
    said = re.sub(r"<template.*?</template>", "", text_of(look(callum, "station", back.pk, 2)), flags=re.DOTALL)
    ids = [part.split('"')[0] for part in said.split(' id="')[1:]]
    assert len(ids) == len(set(ids))
    assert WalkRound.objects.filter(finished_at=None).get() == back
