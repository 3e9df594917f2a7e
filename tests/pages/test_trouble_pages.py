"""What stands where a page cannot be shown."""

import errno
from typing import Any

import pytest
from django.db import InterfaceError, OperationalError
from django.template.loader import render_to_string
from django.test import Client

from fleet.models import Branch
from handover.rental.models import Rental
from shared.access.models import Person


def test_not_here(as_isla: Client) -> None:
    answer = as_isla.get("/nowhere/")
    assert answer.status_code == 404
    assert "It may be mistyped, or belong to a branch that you are not posted to." in answer.text


def test_not_yours_says_who_could(as_callum: Client, inverlark: Branch) -> None:
    answer = as_callum.get("/branch/inverlark/new-booking/")
    assert "A return bay cannot do this. Ask someone whose role includes it." in answer.text


def test_broken_needs_nothing_to_be_shown() -> None:
    assert "What was kept before is kept." in render_to_string("500.html")


def test_a_form_of_another_sign_in_says_what_to_do(isla: Person) -> None:
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(isla)
    answer = strict.post("/me/", {"light": "dusk", "hand": "right"})
    assert (answer.status_code, "Go back, open the page again and press once more" in answer.text) == (403, True)
    assert "default-src" in answer["Content-Security-Policy"]


def test_what_cannot_be_read_says_that_nothing_was_kept(as_isla: Client) -> None:
    answer = as_isla.post("/me/", {f"field{number}": "1" for number in range(1100)})
    assert (answer.status_code, "nothing of it was kept" in answer.text) == (400, True)


def test_a_form_in_another_alphabet_is_not_understood(isla: Person) -> None:
    strict = Client(enforce_csrf_checks=True)
    token = strict.get("/sign-in/").cookies["csrftoken"].value
    body = f"csrfmiddlewaretoken={token}"
    answer = strict.post("/sign-in/", body, content_type="application/x-www-form-urlencoded; charset=utf-7")
    assert (answer.status_code, "nothing of it was kept" in answer.text) == (400, True)


def test_what_breaks_says_so(as_isla: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("handover.board.views.board_of", lambda *args, **said: 1 / 0)
    as_isla.raise_request_exception = False
    answer = as_isla.get("/branch/inverlark/2026-08-18/")
    assert (answer.status_code, "What was kept before is kept." in answer.text) == (500, True)
    assert "default-src" in answer["Content-Security-Policy"]


@pytest.mark.parametrize(
    ("problem", "sentence"),
    [
        (OperationalError("connection refused"), "The server cannot reach its database."),
        (InterfaceError("connection already closed"), "The server cannot reach its database."),
        (OperationalError("database or disk is full"), "The server's disk is full."),
        (OSError(errno.ENOSPC, "No space left on device"), "The server's disk is full."),
    ],
)
def test_what_is_away_is_told_as_that(
    as_isla: Client, monkeypatch: pytest.MonkeyPatch, problem: Exception, sentence: str
) -> None:
    def fails(*args: Any, **said: Any) -> None:
        raise problem

    monkeypatch.setattr("handover.board.views.board_of", fails)
    as_isla.raise_request_exception = False
    answer = as_isla.get("/branch/inverlark/2026-08-18/")
    assert (answer.status_code, answer["Retry-After"]) == (503, "10")
    assert sentence in answer.text


@pytest.mark.parametrize("path", ["/", "/me/", "/branch/inverlark/new-booking/"])
def test_pages_carry_nothing_inline(as_isla: Client, booked: Rental, path: str) -> None:
    text = as_isla.get(path, follow=True).text
    for mark in ("<style", " style=", "onclick", "<script>", "javascript:"):
        assert mark not in text
