"""What no button of a page sends: other keys, numbers beyond all, words without end. Each is said in a sentence."""

import json
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fleet.models import Branch
from handover.rental.models import Rental
from handover.statement.models import Signature, Statement
from handover.walkround.models import Remark, WalkRound
from shared.access.models import Person
from shared.ids import uuid7
from shared.ledger.models import Entry
from tests.factories import RateCardFactory
from tests.playing import STROKES, start

FAULT = {"system": "gas", "symptom": "no flame", "drivable": "yes", "reported_at": "2026-08-15T10:00"}


@pytest.fixture
def pickup(booked: Rental, isla: Person) -> WalkRound:
    return start(booked, "pickup", isla)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("begin-pickup", {}),
        ("begin-return", {"mode": "attended", "arrived_at": "2026-08-18T11:30"}),
        ("draw-up-statement", {}),
        ("trip-fault", FAULT),
        ("settlement-hold", {"amount": "5", "method": "cash"}),
    ],
)
def test_a_key_that_stands_for_another_act(as_isla: Client, out: Rental, name: str, said: dict[str, str]) -> None:
    used = Entry.objects.filter(chain=out.pk, kind="walk.signed").first()
    answer = as_isla.post(reverse(name, args=[out.pk]), {"key": used.key, **said})  # type: ignore[union-attr]
    assert answer.status_code == 422
    assert "This was already sent as something else. Open the page again and press once more." in answer.text


def test_a_draft_is_not_deleted_by_the_key_that_began_it(as_maeve: Client, inverlark: Branch) -> None:
    RateCardFactory(branch=inverlark)
    key = uuid7()
    begun = as_maeve.post(reverse("begin-rate-card", args=["inverlark"]), {"key": key})
    answer = as_maeve.post(f"{begun['Location']}delete/", {"key": key})
    assert (answer.status_code, "already sent as something else" in answer.text) == (422, True)


DEEP = "[" * 100_000
FAR = json.dumps([[{"x": 10**30, "y": 1, "t": 1}, {"x": 1, "y": 1, "t": 2}]])
SIGNATURES = [
    ({"role": "owner"}, "Customer and staff sign"),
    ({"strokes": DEEP}, "The signature did not arrive whole."),
    ({"strokes": FAR}, "The signature runs off any sheet."),
    ({"name": "M" * 121}, "There is room for 120 letters here; these are 121."),
    ({"name": "Ma\0ren"}, "A zero byte is in this text"),
]


@pytest.mark.parametrize(("said", "sentence"), SIGNATURES)
def test_what_is_no_signature(as_callum: Client, priced: Statement, said: dict[str, str], sentence: str) -> None:
    sent = {"key": uuid7(), "settle_key": uuid7(), "role": "customer", "name": "Maren", "strokes": json.dumps(STROKES)}
    digest = {"seen_sha256": priced.digest}
    answer = as_callum.post(reverse("sign-statement", args=[priced.pk]), sent | digest | said)
    assert (answer.status_code, sentence in answer.text) == (422, True)
    assert not Signature.objects.filter(statement=priced).exists()


def test_no_other_way_to_leave_it_unsigned(as_callum: Client, priced: Statement) -> None:
    sent = {"key": uuid7(), "outcome": "asleep", "reason": "He slept."}
    answer = as_callum.post(reverse("unsigned-statement", args=[priced.pk]), sent)
    assert (answer.status_code, "refused, or not here" in answer.text) == (422, True)


def test_words_without_end_are_shown_again_and_not_kept(as_isla: Client, pickup: WalkRound) -> None:
    answer = as_isla.post(reverse("remark", args=[pickup.pk]), {"key": uuid7(), "text": "It rained. " * 1000})
    assert (answer.status_code, Remark.objects.count()) == (422, 0)
    assert "There is room for 4000 letters here; these are 10999. Say it shorter." in answer.text
    assert "It rained. It rained. It rained." in answer.text


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-30", "9999-12-31", "2026-02-30"])
def test_no_board_on_a_day_of_no_rental(as_isla: Client, day: str) -> None:
    assert as_isla.get(f"/branch/inverlark/{day}/").status_code == 404


@pytest.mark.parametrize("said", [{"start": "0001-01-01"}, {"end": "9999-12-31"}])
def test_no_download_of_a_day_of_no_rental(as_callum: Client, inverlark: Branch, said: dict[str, Any]) -> None:
    span = {"start": "2026-08-01", "end": "2026-08-31", "format": "csv"} | said
    answer = as_callum.get(reverse("settlements-export", args=["inverlark"]), span)
    assert (answer.status_code, "is no year of a rental" in answer.text) == (422, True)


def test_a_question_for_the_head_alone(as_isla: Client, pickup: WalkRound) -> None:
    for name in ("sign-walk", "walk"):
        assert as_isla.head(reverse(name, args=[pickup.pk])).status_code in {200, 302}


@pytest.mark.parametrize("span", ["0-0", "1-0", f"{2**31}-{2**31}", f"{2**63}-{2**63}", f"{'9' * 30}-{'9' * 30}"])
def test_no_sheets_of_paper_under_a_number_beyond_all(as_isla: Client, span: str) -> None:
    assert as_isla.get(f"/branch/inverlark/paper/{span}/").status_code == 404


@pytest.mark.parametrize("number", [0, 2**31, 2**63, 10**30])
def test_no_day_seal_under_a_number_beyond_all(client: Client, ruth: Person, number: int) -> None:
    client.force_login(ruth)
    assert client.get(reverse("day-seal", args=[number])).status_code == 404
    assert client.get(reverse("day-seals"), {"below": number}).status_code == 200
