"""Signing in, what is kept for the person, signing out."""

import pytest
from django.test import Client

from shared.access.models import Person
from tests.factories import PASSWORD


def test_asks_for_name_and_password(client: Client, db: None) -> None:
    text = client.get("/sign-in/").text
    assert '<label for="id_username">' in text
    assert '<label for="id_password">' in text


def test_signs_in_and_goes_on_to_where_one_wanted(client: Client, isla: Person) -> None:
    said = {"username": "isla", "password": PASSWORD, "next": "/me/"}
    assert client.post("/sign-in/", said).url == "/me/"


def test_goes_nowhere_else(client: Client, isla: Person) -> None:
    said = {"username": "isla", "password": PASSWORD, "next": "https://example.org/"}
    assert client.post("/sign-in/", said).url == "/"


def test_a_wrong_password(client: Client, isla: Person) -> None:
    text = client.post("/sign-in/", {"username": "isla", "password": "guess"}).text
    assert "Name and password do not go together." in text
    assert 'value="isla"' in text


def test_whoever_left_cannot(client: Client, isla: Person) -> None:
    Person.objects.update(is_active=False)
    answer = client.post("/sign-in/", {"username": "isla", "password": PASSWORD})
    assert answer.status_code == 200
    assert "say stop" in answer.text


def test_light_and_hand_are_kept_for_the_person(as_isla: Client) -> None:
    as_isla.post("/me/", {"light": "dusk", "hand": "left", "language": "en-gb"})
    assert '<html lang="en-GB" data-light="dusk" data-hand="left">' in as_isla.get("/me/").text


def test_another_light_is_none(as_isla: Client, isla: Person) -> None:
    as_isla.post("/me/", {"light": "noon", "hand": "left"})
    isla.refresh_from_db()
    assert (isla.light, isla.hand) == ("day", "right")


def test_my_page_says_who_i_am(as_callum: Client) -> None:
    text = as_callum.get("/me/").text
    assert "<h1>Callum Reid</h1>" in text
    assert "<p>Return bay</p>" in text


def test_signing_out_takes_a_press(as_isla: Client) -> None:
    assert as_isla.get("/sign-out/").status_code == 405
    assert as_isla.post("/sign-out/").url == "/sign-in/"
    assert as_isla.get("/me/").url.startswith("/sign-in/")


@pytest.mark.parametrize("path", ["/me/", "/branch/inverlark/2026-08-14/"])
def test_a_stranger_is_asked_to_sign_in(client: Client, db: None, path: str) -> None:
    assert client.get(path).url == f"/sign-in/?next={path}"
