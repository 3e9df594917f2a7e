"""What holds for every act of a station, whichever it is."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from handover.walkround.models import WalkRound
from shared.ids import uuid7
from shared.ledger.models import Entry
from tests.factories import NINE
from tests.walkround.conftest import asked, press

ACTS = [
    ("answer-check", 1, "Cap and flap", {"word": "good"}, "check.answered"),
    ("take-reading", 1, "diesel", {"typed": "82"}, "reading.taken"),
    ("count", 2, "straps", {"present": "2"}, "equipment.counted"),
    ("check-seal", 2, "first_aid", {"state": "whole"}, "seal.checked"),
    ("hear-topic", 2, "Gas valves", {"outcome": "understood"}, "topic.heard"),
    (
        "pin-mark", 2, "",
        {"kind": "scuff", "part": "door", "place": "locker door", "size_mm": "40", "x_mm": "-1000", "y_mm": "5200"},
        "mark.pinned",
    ),
]  # fmt: skip
every_act = pytest.mark.parametrize(("name", "number", "code", "data", "kind"), ACTS, ids=[act[0] for act in ACTS])


def where(walk: WalkRound, number: int, code: str) -> list[Any]:
    return [walk.pk, number, *([asked(walk, code)] if code else [])]


@every_act
def test_is_kept_and_leads_back_to_the_station(isla, pickup, name, number, code, data, kind):
    response = press(isla, name, *where(pickup, number, code), **data)
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("station", args=[pickup.pk, number]) + "#")
    assert Entry.objects.filter(kind=kind, actor=isla).count() == 1


@every_act
def test_htmx_gets_the_changed_part_alone(isla, pickup, name, number, code, data, kind):
    response = press(isla, name, *where(pickup, number, code), htmx=True, **data)
    assert response.status_code == 200
    assert "<html" not in response.content.decode()
    assert 'id="round"' in response.content.decode()


@every_act
def test_sent_twice_acts_once(isla, pickup, name, number, code, data, kind):
    key = str(uuid7())
    for _ in range(2):
        assert press(isla, name, *where(pickup, number, code), key=key, **data).status_code == 302
    assert Entry.objects.filter(kind=kind).count() == 1


@every_act
def test_another_branch_does_not_see_it(ida, pickup, name, number, code, data, kind):
    assert press(ida, name, *where(pickup, number, code), **data).status_code == 404
    assert not Entry.objects.filter(kind=kind).exists()


@every_act
def test_the_return_bay_does_no_pickup(callum, pickup, name, number, code, data, kind):
    assert press(callum, name, *where(pickup, number, code), **data).status_code == 403
    assert not Entry.objects.filter(kind=kind).exists()


@every_act
def test_is_not_done_by_looking(as_isla: Client, pickup, name, number, code, data, kind):
    assert as_isla.get(reverse(name, args=where(pickup, number, code))).status_code == 405


@every_act
def test_needs_someone_signed_in(client: Client, pickup, name, number, code, data, kind):
    response = client.post(reverse(name, args=where(pickup, number, code)), data)
    assert response["Location"].startswith(reverse("sign-in"))


@every_act
def test_htmx_sends_the_whole_page_to_sign_in_and_back(client: Client, pickup, name, number, code, data, kind):
    here = f"http://testserver{reverse('station', args=[pickup.pk, number])}"
    headers = {"HX-Request": "true", "HX-Current-URL": here}
    response = client.post(reverse(name, args=where(pickup, number, code)), data, headers=headers)
    assert response["HX-Redirect"] == f"{reverse('sign-in')}?next={reverse('station', args=[pickup.pk, number])}"


@every_act
def test_without_a_key_says_what_to_do(isla, pickup, name, number, code, data, kind):
    response = press(isla, name, *where(pickup, number, code), **data | {"key": ""})
    assert response.status_code == 422
    assert "This form has no key" in response.content.decode()


@every_act
def test_a_key_of_another_act_is_refused(isla, pickup, name, number, code, data, kind):
    key = str(Entry.objects.get(kind="pickup.started").key)
    response = press(isla, name, *where(pickup, number, code), **data | {"key": key})
    assert response.status_code == 422
    assert "already sent as something else" in response.content.decode()


@every_act
def test_nothing_is_added_after_the_end(isla, pickup, name, number, code, data, kind):
    WalkRound.objects.filter(pk=pickup.pk).update(finished_at=NINE)
    response = press(isla, name, *where(pickup, number, code), **data)
    assert response.status_code == 422
    assert not Entry.objects.filter(kind=kind).exists()


@pytest.mark.parametrize(("name", "code"), [(act[0], act[2]) for act in ACTS if act[2]])
def test_a_question_that_is_not_asked_is_refused(isla, pickup, name, code):
    data = next(act[3] for act in ACTS if act[0] == name)
    response = press(isla, name, pickup.pk, 1, uuid7(), **data)
    assert response.status_code == 422


def test_a_station_that_is_not_there(isla, pickup):
    response = press(isla, "answer-check", pickup.pk, 9, asked(pickup, "Cap and flap"), word="good")
    assert response.status_code == 404
    assert not Entry.objects.filter(kind="check.answered").exists()
