"""Desk, API access: a token is shown once, revoked for good, and deliveries go again."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fleet.models import Branch
from handover.api.models import ApiToken
from handover.api.tokens import caller_of
from handover.api.webhooks.models import WebhookDelivery
from handover.rental.models import Rental
from shared.access.models import Person
from shared.ids import uuid7
from shared.ledger.models import Entry
from tests.api.made import a_delivery, a_token, a_webhook
from tests.factories import NINE, PersonFactory

State = WebhookDelivery.State


@pytest.fixture
def admin(inverlark: Branch) -> Person:
    return PersonFactory(username="anders", role="administrator", branches=[inverlark])


@pytest.fixture
def desk(client: Client, admin: Person) -> Client:
    client.force_login(admin)
    return client


def form(branch: Branch, **said: Any) -> dict[str, Any]:
    base = {"key": uuid7(), "name": "Booking desk", "scopes": ["rentals:read"], "branches": [branch.pk], "days": "30"}
    return base | said


def make(desk: Client, branch: Branch, **said: Any) -> Any:
    return desk.post(reverse("api-make-token", args=[branch.code]), form(branch, **said))


def secret_in(page: Any) -> str:
    return page.text.partition('class="secret">')[2].partition("<")[0]  # type: ignore[no-any-return]


def test_a_token_is_shown_once_and_works(desk: Client, inverlark: Branch, admin: Person):
    page = make(desk, inverlark)
    secret = secret_in(page)
    caller = caller_of(secret, now=NINE.replace(year=2026, month=12))
    assert caller is not None
    assert (caller.token.name, caller.token.scopes, caller.token.made_by) == ("Booking desk", ["rentals:read"], admin)
    assert caller.person.branch_ids == {inverlark.pk}
    assert secret not in desk.get(reverse("api-access", args=["inverlark"])).text
    assert secret not in str(ApiToken.objects.values())
    assert page["Cache-Control"].startswith("max-age=0")
    entry = Entry.objects.get(kind="api_token.made")
    assert "Booking desk" not in entry.payload
    assert '"scopes":["rentals:read"]' in entry.payload


def test_pressed_twice_it_is_made_once(desk: Client, inverlark: Branch):
    key = uuid7()
    make(desk, inverlark, key=key)
    assert make(desk, inverlark, key=key).status_code == 302
    assert ApiToken.objects.count() == 1


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"name": ""}, "Give the token a name"),
        ({"name": " "}, "Give the token a name"),
        ({"name": "a\0b"}, "Null characters are not allowed"),
        ({"scopes": []}, "Choose at least one thing"),
        ({"scopes": ["people:write"]}, "people:write"),
        ({"branches": []}, "Choose at least one branch"),
        ({"days": "731"}, "731"),
        ({"days": "x"}, "whole number"),
    ],
)
def test_what_cannot_be_a_token(desk: Client, inverlark: Branch, said: dict[str, Any], sentence: str):
    page = make(desk, inverlark, **said)
    assert page.status_code == 422
    assert not ApiToken.objects.exists()


def test_not_for_a_branch_of_others(desk: Client, inverlark: Branch, port_averil: Branch):
    assert make(desk, inverlark, branches=[inverlark.pk, port_averil.pk]).status_code == 422
    assert not ApiToken.objects.exists()


def test_a_revoked_token_opens_nothing(desk: Client, inverlark: Branch):
    token, secret = a_token(inverlark)
    desk.post(reverse("api-revoke-token", args=["inverlark", token.pk]), {"key": uuid7()})
    token.refresh_from_db()
    assert token.revoked_at is not None
    assert caller_of(secret, now=token.made_at) is None
    assert "Revoked by" in desk.get(reverse("api-access", args=["inverlark"])).text
    assert Entry.objects.filter(chain=token.pk, kind="api_token.revoked").count() == 1


@pytest.fixture
def dead(inverlark: Branch, booked: Rental) -> list[WebhookDelivery]:
    webhook, _secret = a_webhook(a_token(inverlark)[0])
    return [a_delivery(webhook, booked, state=State.DEAD, problem="It answered 503.", tries=14) for _ in range(2)]


def test_what_was_given_up_is_told_and_goes_again(desk: Client, dead: list[WebhookDelivery]):
    page = desk.get(reverse("api-deliveries", args=["inverlark"])).text
    assert "2 given up after a day." in page
    assert "It answered 503." in page
    desk.post(reverse("api-send-again", args=["inverlark", dead[0].pk]), {"key": uuid7()})
    assert WebhookDelivery.objects.filter(state=State.WAITING, tries=0).get() == dead[0]


def test_all_go_again_at_once(desk: Client, dead: list[WebhookDelivery]):
    desk.post(reverse("api-send-all-again", args=["inverlark"]), {"key": uuid7()})
    assert WebhookDelivery.objects.filter(state=State.WAITING).count() == 2


def test_the_pages_take_a_fixed_number_of_queries(
    desk: Client, inverlark: Branch, dead: list[WebhookDelivery], django_assert_max_num_queries: Any
):
    for _ in range(3):
        a_webhook(a_token(inverlark)[0])
    with django_assert_max_num_queries(12):
        desk.get(reverse("api-access", args=["inverlark"]))
    with django_assert_max_num_queries(9):
        desk.get(reverse("api-deliveries", args=["inverlark"]))


def test_the_desk_leads_there(desk: Client):
    assert reverse("api-access", args=["inverlark"]) in desk.get(reverse("desk", args=["inverlark"])).text
