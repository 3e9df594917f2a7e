"""What is added, changed, deleted and done at the setting-up desk stands in the ledger, without what was typed."""

import json
from typing import Any

import pytest
from django.contrib import admin
from django.test import Client
from django.urls import reverse

from fleet.models import Branch, Topic, Unit
from shared.access.models import Person
from shared.admin_ledger import InTheLedger, chain_of
from shared.ledger.models import Entry
from shared.ledger.verifying import verify_all

GOOD = "three wet dogs at noon"


@pytest.fixture
def desk(client: Client, anders: Person) -> Client:
    client.force_login(anders)
    return client


def told(kind: str = "setting_up.changed") -> list[dict[str, Any]]:
    return [json.loads(entry.payload) for entry in Entry.objects.filter(kind=kind).order_by("recorded_at", "sequence")]


def person_form(person: Person, **changed: Any) -> dict[str, Any]:
    rows = {f"postings-{name}": count for name, count in (("TOTAL_FORMS", 0), ("INITIAL_FORMS", 0))}
    said = {
        "username": person.username, "first_name": person.first_name, "last_name": person.last_name, "email": "",
        "role": person.role, "is_active": "on", "light": "day", "hand": "right", "language": "en-gb",
    }  # fmt: skip
    return said | rows | changed


def test_every_page_of_the_desk_tells() -> None:
    assert [model for model, page in admin.site._registry.items() if not isinstance(page, InTheLedger)] == []


def test_a_change_names_the_fields_and_no_value(desk: Client, isla: Person, anders: Person) -> None:
    address = reverse("admin:shared_person_change", args=[isla.pk])
    answer = desk.post(address, person_form(isla, last_name="Macleod-Unheard", role="manager"))
    assert answer.status_code == 302, answer.context["errors"]
    entry = Entry.objects.get(kind="setting_up.changed")
    said = json.loads(entry.payload)
    assert (said["what"], said["model"], said["pk"]) == ("changed", "shared.person", str(isla.pk))
    assert said["fields"] == ["last_name", "role"]
    assert len(said["values"]) == 64
    assert "Unheard" not in entry.payload
    assert (entry.actor, entry.subject, entry.chain) == (anders, isla.pk, chain_of("shared.person", isla.pk))


def test_the_same_value_has_the_same_digest_and_another_has_not(desk: Client, isla: Person) -> None:
    address = reverse("admin:shared_person_change", args=[isla.pk])
    for name in ("Ross", "Munro", "Ross"):
        isla.refresh_from_db()
        desk.post(address, person_form(isla, last_name=name))
    first, second, third = (said["values"] for said in told())
    assert first == third != second


def test_a_person_is_added(desk: Client, inverlark: Branch) -> None:
    said = {
        "username": "new", "first_name": "N", "last_name": "W", "role": "host", "usable_password": "true",
        "password1": GOOD, "password2": GOOD, "postings-TOTAL_FORMS": 1, "postings-INITIAL_FORMS": 0,
        "postings-0-branch": inverlark.pk,
    }  # fmt: skip
    answer = desk.post(reverse("admin:shared_person_add"), said)
    assert answer.status_code == 302, answer.context["errors"]
    (added,) = told()
    assert added["what"] == "added"
    assert "password1" in added["fields"]
    assert [(row["model"], row["what"]) for row in added["rows"]] == [("fleet.posting", "added")]


def test_a_password_is_changed_without_a_digest_of_it(desk: Client, isla: Person) -> None:
    address = reverse("admin:auth_user_password_change", args=[isla.pk])
    said = {"password1": GOOD, "password2": GOOD, "usable_password": "true"}
    assert desk.post(address, said).status_code == 302
    (changed,) = told()
    assert (changed["model"], "values" in changed) == ("shared.person", False)


def test_one_is_deleted(desk: Client, unit_407: Unit) -> None:
    topic = Topic.objects.first()
    assert topic
    assert desk.post(reverse("admin:fleet_topic_delete", args=[topic.pk]), {"post": "yes"}).status_code == 302
    (deleted,) = told()
    assert (deleted["what"], deleted["model"], deleted["pk"]) == ("deleted", "fleet.topic", str(topic.pk))


def test_some_are_deleted_at_once(desk: Client, unit_407: Unit) -> None:
    chosen = [str(pk) for pk in Topic.objects.values_list("pk", flat=True)]
    said = {"action": "delete_selected", "_selected_action": chosen, "post": "yes"}
    desk.post(reverse("admin:fleet_topic_changelist"), said)
    assert {said["pk"] for said in told()} == set(chosen)
    assert {said["what"] for said in told()} == {"deleted"}
    assert told("setting_up.done") == []


def test_nothing_is_told_of_what_was_refused(desk: Client, isla: Person) -> None:
    desk.post(reverse("admin:shared_person_change", args=[isla.pk]), person_form(isla, role="king"))
    assert told() == []


def test_the_ledger_holds(desk: Client, isla: Person) -> None:
    desk.post(reverse("admin:shared_person_change", args=[isla.pk]), person_form(isla, first_name="I"))
    assert list(verify_all()) == []
