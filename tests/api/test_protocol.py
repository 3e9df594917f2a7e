"""Problems, pages, versions, limits: what is the same for every operation."""

from typing import Any

import pytest
from django.conf import settings
from django.test import override_settings
from django.urls import reverse

from fleet.models import Branch
from handover.api import bookings
from handover.api.models import ApiToken, ApiUse
from handover.rental.models import Rental
from tests.api.made import Program, a_token
from tests.factories import RentalFactory, UnitFactory

PROBLEM = "application/problem+json"


def problem(answer: Any, status: int, kind: str) -> Any:
    """Checks what every problem has, and gives it."""
    assert (answer.status_code, answer["Content-Type"]) == (status, PROBLEM)
    body = answer.json()
    assert (body["status"], body["type"]) == (status, f"urn:levelpeg:problem:{kind}")
    assert body["title"]
    assert body["detail"]
    return body


def test_an_address_that_is_none(program: Program):
    problem(program.get("/rentals/18/"), 404, "not-there")
    problem(program.get("/"), 404, "not-there")
    problem(program.get("/units/%0A"), 404, "not-there")


def test_a_method_that_is_none(program: Program):
    answer = program.send("PUT", "/rentals", {})
    problem(answer, 405, "no-such-method")
    assert answer["Allow"] == "GET"


def test_a_method_that_is_made_up(program: Program):
    assert program.send("FETCH", "/rentals", {}).status_code == 405


@pytest.mark.parametrize("body", [b"{", b"\xff\xfe", b"[" * 100_000, b"", b'{"a": ' + b"1" * 5000 + b"}"])
def test_a_body_that_is_not_json(program: Program, body: bytes):
    assert program.post("/bookings", body).status_code in {400, 422}


def test_a_body_of_another_kind(program: Program):
    problem(program.send("POST", "/bookings", b"a=1", kind="application/x-www-form-urlencoded"), 415, "not-json")


def test_a_body_that_is_too_long(program: Program):
    problem(program.post("/bookings", b" " * (settings.API_MAX_BYTES + 1)), 413, "too-long")


def test_half_a_letter_is_no_text(program: Program, booking: dict[str, Any]):
    answer = program.post("/bookings", booking | {"customer": {"name": "\ud800"}})
    assert answer.status_code == 422


def test_what_breaks_is_a_problem_too(program: Program, booking: dict[str, Any], monkeypatch: pytest.MonkeyPatch):
    def broken(*_args: object, **_kwargs: object) -> None:
        raise RuntimeError("something of ours")

    monkeypatch.setattr(bookings, "book", broken)
    body = problem(program.post("/bookings", booking), 500, "broken")
    assert "something of ours" not in str(body)


def test_the_sentence_is_in_the_language_that_is_asked_for(program: Program):
    answer = program.get("/rentals/18/", accept_language="de")
    assert answer["Content-Language"] == "de"


@pytest.fixture
def five(inverlark: Branch) -> list[str]:
    rows = [RentalFactory(leg=UnitFactory(number=str(400 + number))) for number in range(5)]
    return [row.number for row in rows]


def numbers(answer: Any) -> list[str]:
    return [row["number"] for row in answer.json()["items"]]


def test_pages_lead_on_and_end(program: Program, five: list[str]):
    first = program.get("/rentals?limit=3")
    assert numbers(first) == five[:3]
    assert first["Link"].endswith('>; rel="next"')
    second = program.get(f"/rentals?limit=3&cursor={first.json()['next']}")
    assert numbers(second) == five[3:]
    assert second.json()["next"] is None
    assert "Link" not in second


def test_the_link_is_the_next_page(program: Program, five: list[str]):
    link = program.get("/rentals?limit=3&branch=inverlark")["Link"].partition(">")[0].removeprefix("<")
    assert numbers(program.get(link.partition("/api/v1")[2])) == five[3:]


def test_a_row_that_comes_meanwhile_moves_none(program: Program, five: list[str]):
    cursor = program.get("/rentals?limit=3").json()["next"]
    late = RentalFactory(leg=UnitFactory(number="499"))
    assert numbers(program.get(f"/rentals?cursor={cursor}")) == [*five[3:], late.number]


@pytest.mark.parametrize(
    "query",
    ["limit=0", "limit=201", "limit=x", "cursor=x", "state=lost", "branch=A%00", "brnach=inverlark", "limit=5&limit=6"],
)
def test_what_a_list_cannot_be_asked(program: Program, query: str):
    problem(program.get(f"/rentals?{query}"), 422, "cannot-be")


def test_a_name_that_is_not_known_is_named(program: Program):
    body = problem(program.get("/rentals?brnach=inverlark"), 422, "cannot-be")
    assert body["errors"] == [{"pointer": "", "parameter": "brnach", "detail": "This is not asked here."}]


def test_a_list_is_read_in_a_fixed_number_of_queries(program: Program, five: list[str], django_assert_num_queries: Any):
    program.get("/units")  # its first use makes the row that counts
    with django_assert_num_queries(7):  # the token, its use (2), its branches, rentals, legs, Extras
        program.get("/rentals")
    RentalFactory(leg=UnitFactory(number="500"))
    with django_assert_num_queries(7):
        program.get("/rentals")


def test_what_is_known_is_not_sent_again(program: Program, booked: Rental):
    first = program.get(f"/rentals/{booked.pk}")
    again = program.get(f"/rentals/{booked.pk}", if_none_match=first["ETag"])
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", first["ETag"])
    Rental.objects.update(charged_days=9)
    assert program.get(f"/rentals/{booked.pk}", if_none_match=first["ETag"]).status_code == 200


@override_settings(API_PER_MINUTE=2)
def test_who_asks_too_often_waits(program: Program, token: ApiToken, port_averil: Branch):
    other = Program(a_token(port_averil)[1])
    assert [program.get("/rentals").status_code for _ in range(3)] == [200, 200, 429]
    answer = program.get("/rentals")
    problem(answer, 429, "too-often")
    assert 1 <= int(answer["Retry-After"]) <= 60
    assert other.get("/rentals").status_code == 200
    ApiUse.objects.filter(token=token).update(minute="2026-01-01T00:00:00Z")
    assert program.get("/rentals").status_code == 200


def test_the_description_and_its_page_need_no_token(client: Any):
    schema = client.get(reverse("api-openapi")).json()
    assert schema["openapi"] == "3.1.0"
    page = client.get(reverse("api-reference"))
    assert page.status_code == 200
    assert all(said["operationId"] in page.text for methods in schema["paths"].values() for said in methods.values())
    assert "<script>" not in page.text
    assert "style=" not in page.text


def test_no_cookie_is_given(program: Program):
    assert not program.get("/rentals").cookies
