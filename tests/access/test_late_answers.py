"""What a tablet sent a moment before the person changed is answered late, under a session that has ended."""

import pytest
from django.conf import settings
from django.test import Client

from tests.factories import PASSWORD

COOKIE = settings.SESSION_COOKIE_NAME


@pytest.mark.parametrize("address", ["/", "/tablet/people/", "/tablet/day/"])
def test_a_late_answer_leaves_the_new_cookie(tablet: Client, address: str) -> None:
    old = tablet.cookies[COOKIE].value
    tablet.post("/sign-in/?other=1", {"username": "isla", "password": PASSWORD})
    late = Client()
    late.cookies[COOKIE] = old
    assert COOKIE not in late.get(address).cookies


def test_the_old_cookie_opens_nothing(tablet: Client) -> None:
    old = tablet.cookies[COOKIE].value
    tablet.post("/sign-in/?other=1", {"username": "isla", "password": PASSWORD})
    late = Client()
    late.cookies[COOKIE] = old
    assert late.get("/tablet/day/").status_code == 401


def test_signing_out_takes_the_cookie_back(tablet: Client) -> None:
    assert tablet.post("/sign-out/").cookies[COOKIE].value == ""
