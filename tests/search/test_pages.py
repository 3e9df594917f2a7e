"""The search page: groups, pages of one kind, what narrows, what cannot be looked for, who finds what."""

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from fleet.models import Branch, Unit
from handover.dispute.models import Dispute
from handover.paper.models import PaperSheet
from handover.rental.models import Customer, Leg, Rental
from handover.retention.models import LegalHold
from handover.search.kinds import Kind
from handover.search.queries import FIRST
from handover.statement.models import Statement
from shared.access.models import Person
from tests.factories import BACK_AT, NINE, OUT_AT, PersonFactory
from tests.search.test_finding import found, leads_to

MOST = 14
"""Fewer than 15."""


def many(like: Rental, count: int) -> list[Rental]:
    """So many rentals of people called Maren, a day apart each."""
    made = []
    for n in range(count):
        customer = Customer.objects.create(name=f"Maren Testa {n:03}")
        out_at = OUT_AT + timedelta(days=n)
        rental = Rental.objects.create(
            number=f"LK-6{n:04}", branch=like.branch, customer=customer, planned_out_at=out_at, charged_days=4,
            planned_back_at=out_at + timedelta(days=4),
        )  # fmt: skip
        Leg.objects.create(rental=rental, unit=like.legs.get().unit)
        made.append(rental)
    return made


def numbers_in(page: str) -> list[str]:
    return re.findall(r'<p class="what"><a [^>]*>(LK-6\d{4}),', page)


def test_a_kind_shows_its_first_and_leads_to_the_others(as_isla: Client, booked: Rental) -> None:
    many(booked, 120)
    page = found(as_isla, "testa")
    assert len(numbers_in(page)) == FIRST
    more = re.search(r'href="(/search/\?q=testa&amp;kind=b)"', page)
    assert more
    seen: list[str] = []
    address = more[1].replace("&amp;", "&")
    while address:
        page = as_isla.get(address).text
        seen += numbers_in(page)
        following = re.search(r'href="(/search/\?[^"]*&amp;after=[0-9a-f]+)"', page)
        address = following[1].replace("&amp;", "&") if following else ""
    assert len(seen) == len(set(seen)) == 120
    assert sorted(seen) == seen


def test_the_newest_stands_first_of_what_is_called_the_same(as_isla: Client, booked: Rental) -> None:
    for rental in many(booked, 3):
        rental.customer.name = "Maren Testa"
        rental.customer.save()
    assert numbers_in(found(as_isla, "testa")) == ["LK-60002", "LK-60001", "LK-60000"]


def test_one_who_is_called_the_same_twice_is_found_once(as_isla: Client, booked: Rental) -> None:
    (rental,) = many(booked, 1)
    rental.customer.name = "Testa Testamaria"
    rental.customer.save()
    assert numbers_in(found(as_isla, "testa", kind="b")) == ["LK-60000"]


SEARCHES: tuple[dict[str, str], ...] = (
    {"q": "lrk407"}, {"q": "Maren"}, {"q": "2026-08-14"}, {"q": "LK-2"}, {"start": "2026-08-01"},
    {"q": "e", "kind": "b"}, {"q": "testa", "state": "booked"}, {"state": "dispute-open"}, {},
)  # fmt: skip


def test_how_often_a_page_asks_the_database(
    signed_in: Callable[[Person], Client], ruth: Person, elsewhere: Rental, priced: Statement
) -> None:
    """With a few rentals and with sixty more, which are made once for every search."""
    for more in (0, 60):
        many(priced.rental, more)
        for said in SEARCHES:
            browser = signed_in(ruth)
            with CaptureQueriesContext(connection) as asked:
                assert browser.get(reverse("search"), said).status_code == 200
            assert len(asked) <= MOST, (more, said)


@pytest.mark.parametrize(
    ("said", "sentence", "field"),
    [
        ({"q": "%%%"}, "There is no letter and no figure in “%%%” to look for.", "id_q"),
        ({"q": "_'*\\;--"}, "There is no letter and no figure", "id_q"),
        ({"q": "Ma\0ren"}, "A zero byte is in this text", "id_q"),
        ({"q": "x" * 10_000}, "At most 200 letters can be looked for; these are 10000.", "id_q"),
        ({"q": "2026-02-30"}, "2026-02-30 is no day. Write it as 2026-08-18.", "id_q"),
        ({"q": "31.11.2026"}, "31.11.2026 is no day.", "id_q"),
        ({"q": "9999-12-31"}, "9999 is no year of a rental.", "id_q"),
        ({"q": "maren", "start": "yesterday"}, "yesterday is no day.", "id_start"),
        ({"q": "maren", "end": "0001-01-01"}, "0001 is no year of a rental.", "id_end"),
        ({"start": "2026-08-02", "end": "2026-08-01"}, "The two may be swapped.", "id_end"),
    ],
)
def test_what_cannot_be_looked_for_is_said_and_kept(
    as_isla: Client, booked: Rental, said: dict[str, str], sentence: str, field: str
) -> None:
    answer = as_isla.get(reverse("search"), said)
    assert (answer.status_code, sentence in answer.text) == (422, True)
    assert re.search(rf'id="{field}"[^>]*aria-invalid="true"', answer.text)
    assert as_isla.get(reverse("search-export", args=["json"]), said).status_code == 422


@pytest.mark.parametrize(
    "phrase",
    [
        "' OR 1=1 --",
        "100%",
        "a_b",
        "\\",
        "<script>",
        "\ud83d\ude90".encode("utf-16", "surrogatepass").decode("utf-16") + " van",
        "x" * 200,
        "٣",
    ],
)
def test_odd_phrases_find_nothing_and_break_nothing(as_isla: Client, booked: Rental, phrase: str) -> None:
    answer = as_isla.get(reverse("search"), {"q": phrase})
    assert answer.status_code in {200, 422}
    assert not leads_to(answer.text, "rental", booked.pk)
    assert "<script>" not in answer.text.partition("<main")[2].partition("</main>")[0]


@pytest.mark.parametrize("phrase", ["", "   "])
def test_nothing_asked(as_isla: Client, booked: Rental, phrase: str) -> None:
    page = found(as_isla, phrase)
    assert "Nothing is looked for yet." in page
    assert not leads_to(page, "rental", booked.pk)
    assert as_isla.get(reverse("search-export", args=["csv"])).status_code == 422


@pytest.mark.parametrize("after", ["zz", "00", "ff" * 40, "6232", "' OR 1"])
def test_a_page_that_begins_nowhere(as_isla: Client, booked: Rental, after: str) -> None:
    assert found(as_isla, "maren", kind="b", after=after)


@pytest.mark.parametrize("said", [{"kind": "z"}, {"branch": "nowhere"}, {"state": "flying"}])
def test_a_list_that_is_not_there(as_isla: Client, booked: Rental, said: dict[str, str]) -> None:
    assert as_isla.get(reverse("search"), {"q": "maren"} | said).status_code == 404


def test_narrowed_by_day_and_state(as_isla: Client, booked: Rental) -> None:
    early, late = many(booked, 2)
    Rental.objects.filter(pk=late.pk).update(state="out")
    assert numbers_in(found(as_isla, "testa", end="2026-08-14")) == [early.number]
    assert numbers_in(found(as_isla, "testa", start="2026-08-15")) == [late.number]
    assert numbers_in(found(as_isla, "testa", state="out")) == [late.number]
    assert "Nothing found." in found(as_isla, "testa", state="settled")
    assert numbers_in(found(as_isla, "", state="out")) == [late.number]


def test_a_list_without_a_phrase(as_isla: Client, booked: Rental) -> None:
    many(booked, 3)
    assert numbers_in(found(as_isla, "", kind="a", start="2026-08-15", end="2026-08-16")) == ["LK-60002", "LK-60001"]


def test_disputes_by_how_they_stand(as_callum: Client, priced: Statement) -> None:
    said = {"rental": priced.rental, "statement": priced, "code": "LATE", "title": "Late return", "by_customer": True}
    dispute = Dispute.objects.create(**said, number=1, words="No", answer_by=BACK_AT.date(), at=BACK_AT)
    assert leads_to(found(as_callum, "", state="dispute-open"), "dispute", dispute.pk)
    assert "Nothing found." in found(as_callum, "", state="dispute-decided")
    assert "Nothing found." in found(as_callum, "", state="dispute-open", kind="a")


def test_another_branchs_things_are_not_there(as_isla: Client, booked: Rental, elsewhere: Rental) -> None:
    for phrase in ("Henrike", "LRK 812", "PA-30001", "2026-08-14"):
        page = found(as_isla, phrase)
        assert str(elsewhere.pk) not in page
        assert "Port Averil" not in page
        assert "Sørby" not in page
    assert as_isla.get(reverse("search"), {"q": "Henrike", "branch": "port-averil"}).status_code == 404
    answer = as_isla.get(reverse("search-export", args=["csv"]), {"start": "2000-01-01"})
    assert b"PA-30001" not in b"".join(answer.streaming_content)  # type: ignore[attr-defined]


def test_who_is_posted_to_both_finds_both_or_one(as_ruth: Client, booked: Rental, elsewhere: Rental) -> None:
    day = {"q": "2026-08-14"}
    assert booked.number in found(as_ruth, **_said(day))
    assert elsewhere.number in found(as_ruth, **_said(day))
    one = found(as_ruth, **_said(day), branch="port-averil")
    assert (booked.number in one, elsewhere.number in one) == (False, True)


def _said(said: dict[str, str]) -> dict[str, Any]:
    return {"phrase": said["q"]}


def test_what_a_role_cannot_open_is_not_found(client: Client, ruth: Person, isla: Person, booked: Rental) -> None:
    LegalHold.objects.create(rental=booked, reason="Claim of the bridge owner", at=NINE, by=ruth)
    for person, finds in ((isla, False), (ruth, True)):
        client.force_login(person)
        page = found(client, "bridge owner")
        assert leads_to(page, "retention", "inverlark") is finds
        assert (f'<option value="{Kind.HOLD.value}"' in page) is finds
    client.force_login(isla)
    assert client.get(reverse("search"), {"q": "bridge", "kind": Kind.HOLD.value}).status_code == 404


def test_paper_is_found_by_those_who_may_key_it_in(
    client: Client, isla: Person, callum: Person, unit_407: Unit
) -> None:  # fmt: skip
    said = {"branch": unit_407.branch, "layout": unit_407.layout, "printed_at": NINE, "printed_by": isla}
    PaperSheet.objects.create(**said, number=8841, words="Fell into the dock", is_lost=True, ended_at=NINE)
    for person, finds in ((isla, True), (callum, False)):
        client.force_login(person)
        assert leads_to(found(client, "into the dock"), "paper-sheets", "inverlark") is finds
        assert leads_to(found(client, "8841"), "paper-sheets", "inverlark") is finds


def test_who_has_no_role_or_no_branch(client: Client, inverlark: Branch) -> None:
    client.force_login(PersonFactory(username="new", role=""))
    assert client.get(reverse("search")).status_code == 403
    client.force_login(PersonFactory(username="loose", branches=[]))
    assert client.get(reverse("search")).status_code == 404


def test_the_board_and_the_desk_lead_there(as_ruth: Client, inverlark: Branch) -> None:
    for address in (reverse("desk", args=["inverlark"]), "/branch/inverlark/2026-08-14/"):
        assert leads_to(as_ruth.get(address).text, "search")
