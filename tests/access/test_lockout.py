"""Whoever guesses has to wait: by name and address, by address, and not for ever."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from axes.models import AccessAttempt
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shared.access.lockout.waiting import COOL_OFF, OF_A_NAME, OF_AN_ADDRESS, stopped_until
from shared.access.models import Person
from shared.ledger.models import Entry
from tests.factories import PASSWORD

AT = datetime(2026, 8, 14, 8, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def guess(client: Client, name: str = "isla", password: str = "guess", **headers: str) -> Any:  # noqa: S107
    return client.post("/sign-in/", {"username": name, "password": password}, **headers)


def guess_often(client: Client, times: int = OF_A_NAME, **said: str) -> Any:
    return [guess(client, **said) for _ in range(times)][-1]


@pytest.mark.parametrize(
    ("tries", "until"),
    [
        ([], None),
        ([(AT, 4)], None),
        ([(AT, 5)], AT + COOL_OFF),
        ([(AT, 3), (AT + MINUTE, 2)], AT + COOL_OFF),
        ([(AT, 1), (AT + MINUTE, 5)], AT + MINUTE + COOL_OFF),
    ],
)
def test_until_when(tries: Any, until: datetime | None) -> None:
    assert stopped_until(tries, 5) == until


def test_the_fifth_wrong_one_has_to_wait(client: Client, isla: Person) -> None:
    assert guess_often(client, OF_A_NAME - 1).status_code == 200
    answer = guess(client)
    assert answer.status_code == 429
    assert "The next can be made in 15 minutes." in answer.text
    assert "An administrator can lift it before" in answer.text
    assert 0 < int(answer.headers["Retry-After"]) <= COOL_OFF.total_seconds()


def test_meanwhile_not_even_the_right_one(client: Client, isla: Person) -> None:
    guess_often(client)
    assert guess(client, password=PASSWORD).status_code == 429
    assert "_auth_user_id" not in client.session


def test_waiting_is_not_made_longer_by_trying(client: Client, isla: Person) -> None:
    guess_often(client)
    AccessAttempt.objects.update(attempt_time=timezone.now() - COOL_OFF + MINUTE)
    assert "in 1 minute." in guess(client, password=PASSWORD).text
    AccessAttempt.objects.update(attempt_time=timezone.now() - COOL_OFF)
    assert guess(client, password=PASSWORD).status_code == 302


def test_from_elsewhere_the_same_person_comes_in(client: Client, isla: Person) -> None:
    """Whoever guesses a name from afar keeps nobody out of the yard."""
    guess_often(client)
    assert guess(Client(REMOTE_ADDR="192.0.2.9"), password=PASSWORD).status_code == 302


def test_another_name_from_here_comes_in(client: Client, isla: Person, callum: Person) -> None:
    guess_often(client)
    assert guess(client, "callum", PASSWORD).status_code == 302


def test_many_names_from_one_address(client: Client, isla: Person) -> None:
    said = [guess(client, f"name-{number}").status_code for number in range(OF_AN_ADDRESS)]
    assert said == [200] * (OF_AN_ADDRESS - 1) + [429]
    assert guess(client, password=PASSWORD).status_code == 429
    assert guess(Client(REMOTE_ADDR="192.0.2.9"), password=PASSWORD).status_code == 302


def test_signing_in_forgives_ones_own_name_alone(client: Client, isla: Person) -> None:
    guess_often(client, OF_A_NAME - 1)
    guess_often(client, OF_A_NAME - 1, name="somebody")
    assert guess(client, password=PASSWORD).status_code == 302
    assert list(AccessAttempt.objects.values_list("username", flat=True)) == ["somebody"]


@pytest.mark.parametrize(
    ("proxies", "headers", "counted"),
    [
        (0, {"HTTP_X_FORWARDED_FOR": "198.51.100.7"}, "127.0.0.1"),
        (1, {"HTTP_X_FORWARDED_FOR": "203.0.113.1, 198.51.100.7"}, "198.51.100.7"),
        (2, {"HTTP_X_FORWARDED_FOR": "203.0.113.1, 198.51.100.7"}, "203.0.113.1"),
        (1, {"HTTP_X_FORWARDED_FOR": "2001:db8:1:2:3::9"}, "2001:db8:1:2::"),
        (1, {"HTTP_X_FORWARDED_FOR": "nonsense"}, None),
    ],
)
def test_the_address_is_as_our_own_proxies_saw_it(
    client: Client, isla: Person, settings: Any, proxies: int, headers: dict[str, str], counted: str | None
) -> None:
    settings.PROXIES = proxies
    guess(client, **headers)
    assert AccessAttempt.objects.get().ip_address == counted


def test_nothing_that_was_typed_is_kept(client: Client, isla: Person) -> None:
    client.post("/sign-in/?next=/secret-place/", {"username": "isla", "password": "hunter-two", "next": "/p/"})
    row = AccessAttempt.objects.get()
    assert "hunter" not in f"{row.post_data}{row.get_data}"
    assert "secret-place" not in row.get_data


def test_a_tablets_script_is_told_in_json(client: Client, isla: Person) -> None:
    said = {"username": "isla", "password": "guess", "device": "01990000-0000-7000-8000-000000000001"}
    for _ in range(OF_A_NAME):
        answer = client.post("/tablet/sign-in/", said, content_type="application/json")
    assert answer.status_code == 422
    assert answer.json()["sentence"].startswith("Too many wrong tries.")
    assert "Retry-After" in answer.headers


def test_passwords_of_a_shared_tablet_count_too(tablet: Client, callum: Person) -> None:
    for _ in range(OF_A_NAME):
        answer = tablet.post(f"/people-here/{callum.pk}/", {"password": "guess"})
    assert answer.status_code == 429
    assert "Too many wrong tries." in tablet.post(f"/people-here/{callum.pk}/", {"password": PASSWORD}).text


def test_and_those_before_a_pin_is_set(tablet: Client) -> None:
    for _ in range(OF_A_NAME):
        answer = tablet.post("/me/pin/", {"password": "guess", "pin": "90210"})
    assert answer.status_code == 429


def test_wrong_pins_keep_their_own_rule(tablet: Client, isla: Person) -> None:
    for _ in range(5):
        tablet.post(f"/people-here/{isla.pk}/", {"pin": "1111"})
    assert not AccessAttempt.objects.exists()
    assert tablet.post(f"/people-here/{isla.pk}/", {"password": PASSWORD}).status_code == 302


def test_it_stands_in_the_ledger_once(client: Client, isla: Person) -> None:
    guess_often(client, OF_A_NAME + 3)
    assert Entry.objects.filter(kind="sign_in.stopped", chain=isla.pk).count() == 1


def test_of_a_name_that_nobody_has_nothing_is_told(client: Client, isla: Person) -> None:
    answers = [guess_often(client, name=name).text for name in ("isla", "nobody-at-all")]
    assert [text.replace("isla", "").replace("nobody-at-all", "") for text in answers[:1]] == [
        text.replace("nobody-at-all", "") for text in answers[1:]
    ]


def test_an_administrator_lifts_it(client: Client, isla: Person, anders: Person) -> None:
    guess_often(client)
    desk = Client()
    desk.force_login(anders)
    page = reverse("admin:axes_accessattempt_changelist")
    assert "isla" in desk.get(page).text
    desk.post(page, {"action": "lift", "_selected_action": [str(AccessAttempt.objects.get().pk)]})
    assert guess(client, password=PASSWORD).status_code == 302
    assert Entry.objects.filter(kind="setting_up.done", actor=anders).count() == 1


def test_so_does_the_command(client: Client, isla: Person, capsys: Any) -> None:
    guess_often(client)
    call_command("axes_reset")
    assert guess(client, password=PASSWORD).status_code == 302


def test_a_name_without_end_is_nobodys(client: Client, isla: Person) -> None:
    answer = guess(client, name="x" * 10_000)
    assert answer.status_code == 200
    assert "Name and password do not go together." in answer.text
    assert not AccessAttempt.objects.exists()
