"""What was asked and answered at every station, the unanswered included."""

import pytest

from handover.record.document import content_from
from handover.record.figures import Writing
from handover.record.walk_rows import station_rows, unanswered
from tests.record import sample


def rows_of(document: sample.Document) -> dict[str, tuple]:
    content = content_from(document)
    stations = station_rows(content, Writing.of(content.operator))
    return {row.what: (row.left, row.back) for station in stations for row in station.rows}


def test_stations_stand_in_the_order_walked():
    content = content_from(sample.return_record())
    stations = station_rows(content, Writing.of(content.operator))
    assert [(station.number, station.name) for station in stations] == [(1, "Nose"), (3, "Kitchen")]


def test_pickup_stands_beside_return_with_who_and_when():
    left, back = rows_of(sample.return_record())["Gas smell"]
    assert left == ("None", "Isla Macrae 14 Aug 10:21")
    assert back == ("None", "Callum Reid 18 Aug 11:58")


def test_a_broken_seal_says_what_was_used():
    left, back = rows_of(sample.return_record())["First aid kit, seal 93412"]
    assert left[0] == "whole"
    assert back == ("broken", "used: bandage, burn dressing, Callum Reid 18 Aug 11:58")


def test_a_topic_says_who_confirmed_it_in_which_language():
    left, back = rows_of(sample.return_record())["Alarm sounds (safety topic)"]
    assert left == ("confirmed", "by Maren Oduya, in English, 24\u00a0s, Isla Macrae 14 Aug 10:21")
    assert back == ("", "")


def test_what_was_left_out_is_listed():
    document = sample.return_record()
    document["walk_rounds"][1]["stations"][0]["readings"][0] |= {"state": "not_read", "value": None}
    document["walk_rounds"][1]["stations"][1]["counts"][0]["found"] = None
    walk = content_from(document).walk("return")
    assert unanswered(walk) == ["Diesel: not read", "Fridge door: not inspected", "Awning crank: not counted"]


def test_not_applicable_is_an_answer():
    document = sample.return_record()
    document["walk_rounds"][1]["stations"][1]["checks"][1]["state"] = "not_applicable"
    assert unanswered(content_from(document).walk("return")) == []
    assert rows_of(document)["Fridge door"][1][0] == "not applicable"


def test_two_of_one_name_stay_two():
    document = sample.pickup_record()
    document["walk_rounds"][0]["stations"][1]["counts"] *= 2
    content = content_from(document)
    kitchen = station_rows(content, Writing.of(content.operator))[1]
    assert [row.what for row in kitchen.rows].count("Awning crank") == 2


HOLD = {
    "sentence": "Gas smell: this unit stays.",
    "put_right": False,
    "released_by": "",
    "reason": "",
    "released_at": None,
}


@pytest.mark.parametrize(
    ("released", "said"),
    [
        ({}, "held: Gas smell: this unit stays. not released"),
        ({"released_by": "Una Reid", "reason": "hose renewed"}, "released by Una Reid: hose renewed"),
        (
            {"put_right": True, "released_by": "Una Reid", "reason": "Checked again: none."},
            "put right by Una Reid: Checked again: none.",
        ),
    ],
)
def test_a_hold_and_its_release_are_said(released, said):
    document = sample.pickup_record()
    document["walk_rounds"][0]["stations"][1]["checks"][0]["hold"] = HOLD | released
    assert said in rows_of(document)["Gas smell"][0][1]


def test_another_seal_number_is_said():
    document = sample.return_record()
    document["walk_rounds"][1]["stations"][1]["seals"][0]["found_number"] = "93555"
    assert "found number 93555" in rows_of(document)["First aid kit, seal 93412"][1][1]


def test_an_answer_given_with_the_rest_says_so():
    document = sample.pickup_record()
    document["walk_rounds"][0]["stations"][0]["checks"][0]["in_bulk"] = True
    assert "with the rest of the station" in rows_of(document)["Lights"][0][1]


def test_a_doubtful_reading_keeps_its_doubt():
    document = sample.pickup_record()
    document["walk_rounds"][0]["stations"][0]["readings"][0] |= {"typed": "18 gal US", "doubt": "above the last return"}
    left, _ = rows_of(document)["Diesel"]
    assert left == (
        "82.0 L",
        "curve, steps of 0.5 L, ± 1.5 L, typed 18 gal US, doubt kept: above the last return, Isla Macrae 14 Aug 10:21",
    )


def test_an_answered_doubt_says_that_it_is_so():
    document = sample.pickup_record()
    document["walk_rounds"][0]["stations"][0]["readings"][0] |= {"doubt": "Is the ignition on?", "is_so": True}
    assert "asked: Is the ignition on? It is so, Isla" in rows_of(document)["Diesel"][0][1]


def test_what_was_typed_as_it_was_read_is_not_said_twice():
    document = sample.pickup_record()
    document["walk_rounds"][0]["stations"][0]["readings"][0]["typed"] = "82"
    assert rows_of(document)["Diesel"][0] == ("82.0 L", "curve, steps of 0.5 L, ± 1.5 L, Isla Macrae 14 Aug 10:21")


def test_a_photo_that_was_not_taken_is_said():
    document = sample.return_record()
    assert rows_of(document)["Photo: Worktop"][:2] == (("not taken", ""), ("taken", "photo 1"))
    assert "Photo: Worktop: not taken" in unanswered(content_from(document).walk("pickup"))
