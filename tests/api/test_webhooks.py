"""What happens is told: found in the ledger once, signed, sent again until it is taken, and given up after a day."""

import hmac
import json
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.core.management import call_command
from django.test import override_settings
from django.utils import timezone

from fleet.models import Branch
from handover.api.models import ApiToken
from handover.api.webhooks import delivering, sending
from handover.api.webhooks.actions import send_again, stop_webhook
from handover.api.webhooks.delivering import deliver, pass_on
from handover.api.webhooks.kinds import ENTRIES, Event
from handover.api.webhooks.models import Webhook, WebhookDelivery
from handover.api.webhooks.retrying import FIRST, GIVE_UP, LONGEST, is_over, pause
from handover.api.webhooks.sending import Answered
from handover.api.webhooks.signing import HEADER, secret_for, secret_kept
from handover.rental.actions import book
from handover.rental.booking import BookingDetails
from handover.rental.models import Rental
from shared.access.models import Person
from shared.ledger.models import Entry
from tests.api.listening import Heard, listening
from tests.api.made import Program, a_delivery, a_token, a_webhook
from tests.factories import BACK_AT, OUT_AT, UnitFactory, an_act

State = WebhookDelivery.State


@pytest.fixture
def heard() -> Iterator[Heard]:
    with listening() as server, override_settings(WEBHOOKS_TO_LOOPBACK=True):
        yield server


@pytest.fixture
def told(heard: Heard, token: ApiToken) -> tuple[Webhook, str]:
    """A webhook for bookings that leads to the listening server."""
    return a_webhook(token, url=f"http://127.0.0.1:{heard.port}/levelpeg")


@pytest.fixture
def webhook(told: tuple[Webhook, str]) -> Webhook:
    return told[0]


def booked_by(person: Person, branch: Branch, number: str = "407") -> Rental:
    unit = UnitFactory(number=number, branch=branch)
    details = BookingDetails("Maren Oduya", unit, OUT_AT, BACK_AT, 4)
    return book(branch=branch, details=details, act=an_act(person, at=timezone.now()))


def test_a_booking_is_told_signed_and_without_a_name(
    told: tuple[Webhook, str], heard: Heard, isla: Person, inverlark: Branch
):
    rental = booked_by(isla, inverlark)
    call_command("deliver_webhooks")
    (headers, body), secret = heard.came[0], told[1]
    stamp, _comma, shown = headers[HEADER].partition(",")
    expected = hmac.new(secret.encode(), stamp.removeprefix("at=").encode() + b"." + body, "sha256").hexdigest()
    assert shown == f"sha256={expected}"
    assert abs(int(stamp.removeprefix("at=")) - timezone.now().timestamp()) < 60
    event = json.loads(body)
    assert (event["event"], event["branch"]) == ("rental.booked", "inverlark")
    assert event["id"] == str(Entry.objects.get(chain=rental.pk, kind="rental.booked").pk)
    assert event["rental"] == {
        "id": str(rental.pk), "number": rental.number, "href": f"http://127.0.0.1:8000/api/v1/rentals/{rental.pk}"
    }  # fmt: skip
    assert b"Maren" not in body
    delivery = WebhookDelivery.objects.get()
    assert (delivery.state, delivery.tries, delivery.answer_code) == (State.TAKEN, 1, 204)


def test_an_entry_is_found_once(webhook: Webhook, heard: Heard, isla: Person, inverlark: Branch):
    booked_by(isla, inverlark)
    assert [pass_on(now=timezone.now()) for _ in range(3)] == [(1, 1), (0, 0), (0, 0)]
    assert len(heard.came) == 1


def test_what_was_before_is_not_told(token: ApiToken, isla: Person, inverlark: Branch):
    booked_by(isla, inverlark)
    a_webhook(token)
    assert pass_on(now=timezone.now()) == (0, 0)


def test_an_entry_that_was_still_being_written_is_found(webhook: Webhook, isla: Person, inverlark: Branch):
    """Looked past once, it is found by a later look: a long transaction records before it can be seen."""
    pass_on(now=timezone.now() + timedelta(minutes=10))
    booked_by(isla, inverlark)
    assert pass_on(now=timezone.now() + timedelta(minutes=11))[0] == 1


def test_only_of_its_branches_and_kinds(webhook: Webhook, ruth: Person, port_averil: Branch, isla: Person):
    booked_by(ruth, port_averil)
    assert pass_on(now=timezone.now()) == (0, 0)
    Webhook.objects.update(kinds=["rental.returned"])
    booked_by(isla, isla.postings.get().branch, "408")
    assert pass_on(now=timezone.now()) == (0, 0)


@pytest.fixture
def delivery(webhook: Webhook, booked: Rental) -> WebhookDelivery:
    return a_delivery(webhook, booked)


def tried(delivery: WebhookDelivery) -> WebhookDelivery:
    deliver.func(str(delivery.pk))
    delivery.refresh_from_db()
    return delivery


def test_what_is_not_taken_waits_longer_each_time(delivery: WebhookDelivery, heard: Heard):
    heard.code = 503
    assert tried(delivery).problem == "It answered 503."
    assert (delivery.state, delivery.tries, delivery.answer_code) == (State.WAITING, 1, 503)
    assert timedelta(0) < delivery.due_at - timezone.now() <= FIRST
    tried(delivery)
    assert len(heard.came) == 1  # not due yet


def test_after_a_day_it_is_given_up(delivery: WebhookDelivery, heard: Heard):
    heard.code = 500
    WebhookDelivery.objects.update(first_at=timezone.now() - GIVE_UP, tries=14)
    assert tried(delivery).state == State.DEAD
    assert delivery.ended_at is not None


def test_two_workers_send_it_once(delivery: WebhookDelivery, heard: Heard, monkeypatch: pytest.MonkeyPatch):
    """While one sends, another that has the same task finds nothing due."""
    sent = []

    def post(*said: Any) -> Answered:
        sent.append(said)
        deliver.func(str(delivery.pk))
        return Answered(200)

    monkeypatch.setattr(delivering, "post", post)
    tried(delivery)
    assert len(sent) == 1


def test_a_worker_that_dies_leaves_it_due_again(delivery: WebhookDelivery, monkeypatch: pytest.MonkeyPatch):
    def killed(*_said: Any) -> Answered:
        raise SystemExit

    monkeypatch.setattr(delivering, "post", killed)
    with pytest.raises(SystemExit):
        deliver.func(str(delivery.pk))
    delivery.refresh_from_db()
    assert delivery.state == State.WAITING
    assert delivery.due_at <= timezone.now() + delivering.LEASE


def test_a_stopped_webhook_sends_nothing_more(delivery: WebhookDelivery, heard: Heard, token: ApiToken):
    stop_webhook(delivery.webhook, act=an_act(token.made_by))
    assert tried(delivery).problem == "The webhook was stopped."
    assert (delivery.state, heard.came) == (State.DEAD, [])


def test_neither_does_one_of_a_revoked_token(delivery: WebhookDelivery, heard: Heard, token: ApiToken):
    ApiToken.objects.update(revoked_at=timezone.now(), revoked_by=token.made_by)
    assert tried(delivery).state == State.DEAD
    assert not heard.came


def test_send_again_begins_a_new_day(
    delivery: WebhookDelivery, heard: Heard, token: ApiToken, django_capture_on_commit_callbacks: Any
):
    delivery.end(State.DEAD, tries=14, first_at=timezone.now() - GIVE_UP, due_at=timezone.now() + LONGEST)
    with django_capture_on_commit_callbacks(execute=True):
        send_again([delivery], act=an_act(token.made_by, at=timezone.now()))
    delivery.refresh_from_db()
    assert (delivery.state, delivery.tries, len(heard.came)) == (State.TAKEN, 1, 1)
    assert Entry.objects.filter(chain=token.pk, kind="webhook.sent_again").count() == 1


def test_the_whole_takes_a_while_at_most(monkeypatch: pytest.MonkeyPatch, heard: Heard):
    """Who answers a letter at a time is hung up on."""
    monkeypatch.setattr(sending, "ALL_S", 0.2)
    heard.headers = {"X-Long": "a" * 10}
    hung_up = []
    monkeypatch.setattr(sending, "_hang_up", lambda connection: hung_up.append(connection) or connection.close())
    monkeypatch.setattr(sending.HTTPConnection, "getresponse", lambda self: _slow(hung_up))
    assert sending.post(f"http://127.0.0.1:{heard.port}/", b"{}", {}).code is None
    assert hung_up


def _slow(hung_up: list[Any]) -> Any:
    while not hung_up:
        pass
    raise ConnectionResetError


def test_pauses_double_up_to_four_hours_for_a_day():
    longest = [pause(tries, 1.0) for tries in range(1, 15)]
    assert longest[:3] == [FIRST, FIRST * 2, FIRST * 4]
    assert max(longest) == longest[-1] == LONGEST
    assert pause(3, 0.0) == FIRST * 2
    assert not is_over(sum(longest[:13], timedelta()))
    assert is_over(GIVE_UP + FIRST)


def test_the_secret_survives_a_new_server_key(webhook: Webhook, settings: Any):
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "another-key-of-this-server"
    secret = secret_kept(webhook.pk, webhook.secret_sha256)
    assert secret == secret_for(webhook.pk, settings.SECRET_KEY_FALLBACKS[0])
    settings.SECRET_KEY_FALLBACKS = []
    assert secret_kept(webhook.pk, webhook.secret_sha256) is None


def test_every_event_comes_from_an_entry():
    assert set(ENTRIES.values()) == set(Event)


def test_a_program_looks_after_its_own(program: Program, inverlark: Branch):
    body = {"url": "https://hooks.example.org/a", "kinds": ["rental.booked"]}
    made = program.post("/webhooks", body)
    assert made.status_code == 201
    assert made.json()["secret"].startswith("lpw_")
    assert program.post("/webhooks", body).json() == made.json()
    path = made.json()["href"].removeprefix("/api/v1")
    etag = program.get(path)["ETag"]
    assert program.send("PATCH", path, body | {"kinds": ["dispute.opened"]}, if_match=etag).status_code == 200
    assert program.send("DELETE", path, if_match=etag).status_code == 412
    other = Program(_of_another(inverlark))
    assert other.get(path).status_code == 404
    assert program.send("DELETE", path, if_match="*").status_code == 204
    assert program.get(path).status_code == 404


def _of_another(branch: Branch) -> str:
    return a_token(branch)[1]


def test_a_webhook_to_the_inside_is_refused(program: Program):
    answer = program.post("/webhooks", {"url": "https://169.254.169.254/latest", "kinds": ["rental.booked"]})
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == "/url"
