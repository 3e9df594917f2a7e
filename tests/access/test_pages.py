"""The plain pages of a shared tablet: who is here, the PIN, the lock, and setting a PIN."""

from uuid import UUID

import pytest
from django.test import Client

from shared.access.models import Device, DevicePerson, Person
from shared.access.taking_over import MOST_WRONG
from shared.ids import uuid7
from tests.access.conftest import PIN
from tests.factories import PASSWORD

BOARD = "/branch/inverlark/2026-08-14/"


def signed_in_as(browser: Client) -> str:
    return str(browser.get("/me/").context["user"].username)


def take(browser: Client, person: Person, pin: str, **said: str) -> str:
    answer = browser.post(f"/people-here/{person.pk}/", {"pin": pin, **said})
    return str(answer.url if answer.status_code == 302 else answer.text)


def test_both_who_signed_in_stand_there(tablet: Client) -> None:
    text = tablet.get("/people-here/").text
    assert "Isla Macrae<small>PIN</small>" in text
    assert "Callum Reid<small>Password</small>" in text


def test_a_browser_that_nobody_signed_in_on(client: Client, db: None) -> None:
    assert "Nobody has signed in on this tablet yet." in client.get("/people-here/").text


def test_two_presses_and_the_pin(tablet: Client, isla: Person) -> None:
    assert signed_in_as(tablet) == "callum"
    here = tablet.get(f"/people-here/?next={BOARD}").text
    assert f'href="/people-here/{isla.pk}/?next={BOARD}"' in here
    assert f'value="{BOARD}"' in tablet.get(f"/people-here/{isla.pk}/?next={BOARD}").text
    assert take(tablet, isla, PIN, next=BOARD) == BOARD
    assert signed_in_as(tablet) == "isla"


def test_the_masthead_leads_there_and_back(tablet: Client) -> None:
    assert f'href="/people-here/?next={BOARD}"' in tablet.get(BOARD).text


@pytest.mark.parametrize("elsewhere", ["https://example.org/", "//example.org/", "javascript:alert(1)"])
def test_it_leads_nowhere_else(tablet: Client, isla: Person, elsewhere: str) -> None:
    assert take(tablet, isla, PIN, next=elsewhere) == "/"


def test_the_session_of_the_one_before_is_gone(tablet: Client, isla: Person) -> None:
    before = tablet.session.session_key
    take(tablet, isla, PIN)
    assert tablet.session.session_key != before


def test_a_wrong_pin_is_said_and_callum_stays(tablet: Client, isla: Person) -> None:
    assert "4 more tries" in take(tablet, isla, "1111")
    assert signed_in_as(tablet) == "callum"


def test_after_five_the_page_asks_for_the_password(tablet: Client, isla: Person) -> None:
    for _ in range(MOST_WRONG):
        text = take(tablet, isla, "1111")
    assert 'name="password"' in text
    assert 'name="pin"' not in text
    assert "Now it takes the password" in tablet.get(f"/people-here/{isla.pk}/").text


def test_the_password_in_place_of_the_pin(tablet: Client, callum: Person) -> None:
    answer = tablet.post(f"/people-here/{callum.pk}/", {"password": PASSWORD})
    assert answer.status_code == 302


def test_who_never_signed_in_here_is_nobody(tablet: Client, ruth: Person) -> None:
    for person_id in (ruth.pk, uuid7()):
        assert tablet.get(f"/people-here/{person_id}/").url == "/people-here/"


def test_the_pin_in_another_browser_opens_nothing(tablet: Client, isla: Person) -> None:
    assert take(Client(), isla, PIN) == "/people-here/"


def test_a_cookie_of_ones_own_making_opens_nothing(tablet: Client, isla: Person, device_id: UUID) -> None:
    other = Client()
    other.cookies["device"] = str(device_id)
    assert take(other, isla, PIN) == "/people-here/"


def test_it_opens_a_tablet_whose_session_is_over(tablet: Client, isla: Person) -> None:
    del tablet.cookies["sessionid"]
    take(tablet, isla, PIN)
    assert signed_in_as(tablet) == "isla"


def test_the_same_device_whoever_signs_in(tablet: Client) -> None:
    assert Device.objects.count() == 1
    assert DevicePerson.objects.count() == 2


def test_a_locked_tablet_asks_on_every_page(tablet: Client) -> None:
    tablet.post("/people-here/lock/")
    for path in (BOARD, "/me/", "/"):
        assert tablet.get(path).url.startswith("/people-here/")


def test_a_locked_tablet_says_that_nothing_is_lost(tablet: Client) -> None:
    tablet.post("/people-here/lock/")
    text = tablet.get("/people-here/").text
    assert "Nothing is lost" in text
    assert "Lock the tablet" not in text


def test_a_part_of_a_page_sends_the_whole_page(tablet: Client) -> None:
    tablet.post("/people-here/lock/")
    headers = {"HX-Request": "true", "HX-Current-URL": f"http://testserver{BOARD}"}
    answer = tablet.get(BOARD, headers=headers)
    assert answer.headers["HX-Redirect"] == "/people-here/?next=%2Fbranch%2Finverlark%2F2026-08-14%2F"


def test_the_script_locks_without_a_page(tablet: Client) -> None:
    answer = tablet.post("/people-here/lock/", headers={"X-Requested-With": "fetch"})
    assert answer.status_code == 204


def test_a_pin_unlocks(tablet: Client, isla: Person) -> None:
    tablet.post("/people-here/lock/")
    take(tablet, isla, PIN)
    assert signed_in_as(tablet) == "isla"


def test_ones_own_password_unlocks_and_the_session_goes_on(tablet: Client, callum: Person) -> None:
    tablet.post("/people-here/lock/")
    tablet.post(f"/people-here/{callum.pk}/", {"password": PASSWORD})
    assert signed_in_as(tablet) == "callum"


def test_signing_in_unlocks(tablet: Client) -> None:
    tablet.post("/people-here/lock/")
    assert tablet.get("/sign-in/").status_code == 200
    tablet.post("/sign-in/", {"username": "isla", "password": PASSWORD})
    assert signed_in_as(tablet) == "isla"


def test_ones_own_page_sets_the_pin(tablet: Client, callum: Person) -> None:
    assert tablet.post("/me/pin/", {"password": PASSWORD, "pin": "90210"}).url == "/me/"
    assert "You have a PIN." in tablet.get("/me/").text


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"password": "guess", "pin": "90210"}, "This is not your password."),
        ({"password": PASSWORD, "pin": "1234"}, "among the first that anybody tries"),
        ({"password": PASSWORD, "pin": "12"}, "4 to 8 digits"),
    ],
)
def test_what_is_no_pin_is_said(tablet: Client, said: dict[str, str], sentence: str) -> None:
    answer = tablet.post("/me/pin/", said)
    assert answer.status_code == 422
    assert sentence in answer.text


def test_a_pin_never_stands_in_the_page(tablet: Client) -> None:
    assert 'value="1234"' not in tablet.post("/me/pin/", {"password": PASSWORD, "pin": "1234"}).text
