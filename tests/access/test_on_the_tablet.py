"""What the script of a shared tablet asks for: who is known, the change by PIN, the lock, the idle minutes."""

import json
from typing import Any
from uuid import UUID

import pytest
from django.http import HttpResponse
from django.test import Client

from fleet.models import Branch
from handover.tablet.devices import proven
from handover.tablet.idle import idle_minutes_of
from shared.access.models import Device, Person
from shared.access.taking_over import MOST_WRONG
from shared.ids import uuid7
from tests.access.conftest import PIN
from tests.factories import PASSWORD


def change(browser: Client, device: UUID | str, person: Person | str, **secret: str) -> HttpResponse:
    sent = {"device": str(device), "person": str(getattr(person, "pk", person)), **secret}
    return browser.post("/tablet/change/", json.dumps(sent), content_type="application/json")  # type: ignore[return-value]


def said(answer: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(answer.content)
    return found


def test_who_is_known_here(tablet: Client) -> None:
    rows = said(tablet.get("/tablet/people/"))["people"]
    assert [(row["short_name"], row["by_pin"]) for row in rows] == [("Callum R.", False), ("Isla M.", True)]


def test_no_hash_leaves_the_server(tablet: Client, isla: Person) -> None:
    assert isla.pin.encode() not in tablet.get("/tablet/people/").content
    assert set(said(tablet.get("/tablet/people/"))["people"][0]) == {"id", "name", "short_name", "by_pin"}


def test_a_browser_that_proves_no_device_hears_of_nobody(tablet: Client) -> None:
    assert said(Client().get("/tablet/people/"))["people"] == []


def test_by_pin_it_is_isla_s_with_a_token_of_hers(tablet: Client, device_id: UUID, isla: Person) -> None:
    answer = said(change(tablet, device_id, isla, pin=PIN))
    assert answer["person"]["short_name"] == "Isla M."
    assert proven(answer["token"], Device.objects.get(pk=device_id)) == isla
    assert tablet.get("/me/").context["user"] == isla


def test_the_new_sign_in_s_token_for_forms_comes_along(tablet: Client, device_id: UUID, isla: Person) -> None:
    assert len(said(change(tablet, device_id, isla, pin=PIN))["csrf"]) > 30


def test_a_wrong_pin_is_a_sentence(tablet: Client, device_id: UUID, isla: Person) -> None:
    answer = change(tablet, device_id, isla, pin="1111")
    assert answer.status_code == 422
    assert said(answer)["field"] == "pin"
    assert "4 more tries" in said(answer)["sentence"]


def test_after_five_the_list_says_password(tablet: Client, device_id: UUID, isla: Person) -> None:
    for _ in range(MOST_WRONG):
        change(tablet, device_id, isla, pin="1111")
    assert not any(row["by_pin"] for row in said(tablet.get("/tablet/people/"))["people"])
    assert said(change(tablet, device_id, isla, password=PASSWORD))["person"]["id"] == str(isla.pk)


@pytest.mark.parametrize("device", ["", "tablet 2"])
def test_a_device_that_is_none(tablet: Client, isla: Person, device: str) -> None:
    assert change(tablet, device, isla, pin=PIN).status_code == 422


def test_a_browser_that_proves_no_device_changes_hands_to_nobody(tablet: Client, device_id: UUID, isla: Person) -> None:
    answer = change(Client(), device_id, isla, pin=PIN)
    assert answer.status_code == 422
    assert "Nobody is known on this tablet." in said(answer)["sentence"]


def test_a_name_that_the_script_made_up_gets_its_own_token(tablet: Client, isla: Person) -> None:
    other = uuid7()
    answer = said(change(tablet, other, isla, pin=PIN))
    assert proven(answer["token"], Device.objects.get(pk=other)) == isla


def test_the_page_tells_the_script_which_device_it_is(tablet: Client, device_id: UUID) -> None:
    assert f'data-device="{device_id}"' in tablet.get("/branch/inverlark/2026-08-14/").text


def test_no_person(tablet: Client, device_id: UUID) -> None:
    assert said(change(tablet, device_id, "me", pin=PIN))["field"] == "person"


def test_locked_it_says_so_and_goes_on_sending(tablet: Client, device_id: UUID) -> None:
    tablet.post("/tablet/lock/")
    assert said(tablet.get("/tablet/people/"))["locked"] is True
    assert said(tablet.get(f"/tablet/hello/?device={device_id}"))["locked"] is True
    assert tablet.get("/me/").status_code == 302


def test_the_change_unlocks(tablet: Client, device_id: UUID, isla: Person) -> None:
    tablet.post("/tablet/lock/")
    change(tablet, device_id, isla, pin=PIN)
    assert said(tablet.get("/tablet/people/"))["locked"] is False


def test_a_lock_needs_somebody_signed_in(client: Client, db: None) -> None:
    assert client.post("/tablet/lock/").status_code == 401


def test_idle_minutes_are_the_branch_s(tablet: Client, callum: Person) -> None:
    Branch.objects.update(idle_minutes=3)
    assert said(tablet.get("/tablet/people/"))["idle_minutes"] == 3


def test_of_several_branches_the_shortest_and_zero_is_never(ruth: Person) -> None:
    Branch.objects.filter(code="inverlark").update(idle_minutes=0)
    assert idle_minutes_of(ruth) == 5
    Branch.objects.update(idle_minutes=0)
    assert idle_minutes_of(ruth) == 0
    assert idle_minutes_of(None) == 0
