"""Hello, sign-in, and answers that no program takes for a page."""

from django.test import Client
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from handover.tablet.devices import proven
from shared.access.models import Device, Person
from tests.factories import PASSWORD
from tests.tablet.conftest import TABLET_2, post, signed_in

HELLO = f"/tablet/hello/?device={TABLET_2}"


def test_hello_of_nobody(client: Client, db: None) -> None:
    said = client.get(HELLO).json()
    assert (said["person"], said["token"]) == (None, "")
    assert said["csrf"]
    assert not Device.objects.exists()


def test_hello_of_a_person_ties_the_session_to_the_tablet(isla: Person) -> None:
    client = signed_in(isla)
    said = client.get(HELLO).json()
    assert said["person"] == {"id": str(isla.pk), "name": "Isla Macrae", "short_name": "Isla M."}
    assert proven(said["token"], Device.objects.get()) == isla
    assert client.session["device"] == str(TABLET_2)


def test_hello_tells_the_time_of_the_server(client: Client, db: None) -> None:
    before = timezone.now()
    told = parse_datetime(client.get(HELLO).json()["now"])
    assert told is not None
    assert abs((told - before).total_seconds()) < 60


def test_hello_without_a_device_proves_nothing(as_isla: Client) -> None:
    said = as_isla.get("/tablet/hello/").json()
    assert said["person"]["name"] == "Isla Macrae"
    assert said["token"] == ""


def test_hello_with_what_is_no_device(as_isla: Client) -> None:
    answer = as_isla.get("/tablet/hello/?device=two")
    assert answer.status_code == 422
    assert answer.json()["field"] == "device"


def test_hello_is_never_kept(client: Client, db: None) -> None:
    assert "no-store" in client.get(HELLO).headers["Cache-Control"]


def test_signing_in_says_hello(client: Client, isla: Person) -> None:
    said = post(client, "/tablet/sign-in/", {"username": "isla", "password": PASSWORD, "device": str(TABLET_2)}).json()
    assert said["person"]["id"] == str(isla.pk)
    assert proven(said["token"], Device.objects.get()) == isla
    assert client.session["device"] == str(TABLET_2)


def test_a_wrong_password_says_so(client: Client, isla: Person) -> None:
    answer = post(client, "/tablet/sign-in/", {"username": "isla", "password": "no", "device": str(TABLET_2)})
    assert answer.status_code == 422
    assert answer.json()["sentence"].startswith("Name and password do not go together.")


def test_what_is_no_json_says_so(client: Client, db: None) -> None:
    for body in ("", "[]", "{", "[" * 100_000):
        answer = client.post("/tablet/sign-in/", body, content_type="application/json")
        assert answer.json()["sentence"].startswith("What came cannot be read.")


def test_on_a_revoked_tablet_nobody_stays_signed_in(isla: Person, ruth: Person, tablet_2: Device) -> None:
    client = signed_in(isla)
    Device.objects.update(revoked_at=timezone.now(), revoked_by=ruth)
    assert client.get(HELLO).json()["person"] is None
    assert "_auth_user_id" not in client.session


def test_a_token_of_another_sign_in_is_said_in_json(isla: Person) -> None:
    client = Client(enforce_csrf_checks=True)
    answer = post(client, "/tablet/sign-in/", {"username": "isla"})
    assert (answer.status_code, answer.json()) == (403, {"error": "csrf"})


def test_the_token_of_hello_signs_in(isla: Person) -> None:
    client = Client(enforce_csrf_checks=True)
    csrf = client.get(HELLO).json()["csrf"]
    sent = {"username": "isla", "password": PASSWORD, "device": str(TABLET_2)}
    answer = client.post("/tablet/sign-in/", sent, content_type="application/json", headers={"X-CSRFToken": csrf})
    assert answer.json()["person"]["short_name"] == "Isla M."
