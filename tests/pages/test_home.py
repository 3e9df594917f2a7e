"""The front door."""

from django.test import Client

from handover.zone import today_at
from shared.access.models import Person
from tests.factories import PersonFactory


def test_leads_to_today_at_the_first_branch(as_isla: Client, isla: Person) -> None:
    branch = isla.postings.get().branch  # type: ignore[attr-defined]
    assert as_isla.get("/").url == f"/branch/inverlark/{today_at(branch)}/"


def test_asks_to_sign_in(client: Client, db: None) -> None:
    assert client.get("/").url == "/sign-in/?next=/"


def test_says_so_to_who_is_posted_nowhere(client: Client, db: None) -> None:
    client.force_login(PersonFactory(username="new", branches=[]))
    answer = client.get("/")
    assert answer.status_code == 403
    assert "You are posted to no branch." in answer.text


def test_only_shows(as_isla: Client) -> None:
    assert as_isla.post("/").status_code == 405
