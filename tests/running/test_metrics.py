"""Every figure is tried by making it so, and read as Prometheus reads it."""

from datetime import datetime, timedelta
from uuid import UUID

import pytest
from django.test import Client
from django.utils import timezone
from prometheus_client.parser import text_string_to_metric_families
from pytest_django.fixtures import Settings

from handover.customer.models import CustomerLink, LinkDelivery
from handover.record.models import Record
from handover.rental.models import Rental
from handover.running.figures import figures
from handover.tablet.models import Receipt, Upload
from shared.access.models import Device, Person
from shared.ids import uuid7
from shared.running.counting import METHODS, OWN, count_request
from shared.running.models import Mark, mark
from tests.playing import start
from tests.running.test_health import a_task, worked  # noqa: F401 a fixture

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def token(settings: Settings) -> str:
    settings.METRICS_TOKEN = "a-token-of-this-test"
    return settings.METRICS_TOKEN


def scraped(client: Client, token: str) -> dict[str, float]:
    answer = client.get("/metrics", headers={"Authorization": f"Bearer {token}"})
    assert answer.status_code == 200
    families = text_string_to_metric_families(answer.text)
    return {
        sample.name + "".join(f"/{value}" for value in sample.labels.values()): sample.value
        for family in families
        for sample in family.samples
    }


@pytest.fixture
def tablet(isla: Person) -> Device:
    return Device.objects.create(pk=uuid7(), made_by=isla)


def receipt(tablet: Device, received_at: datetime, *, walk: UUID | None = None, **said: object) -> Receipt:
    return Receipt.objects.create(
        key=uuid7(), device=tablet, kind="reading", walk_id=walk, relayed_by=tablet.made_by, sha256="0" * 64,
        received_at=received_at, **{"outcome": "ok", **said},
    )  # fmt: skip


def test_without_the_token_nothing_is_told(client: Client, settings: Settings, token: str) -> None:
    assert client.get("/metrics").status_code == 403
    assert client.get("/metrics", headers={"Authorization": "Bearer another"}).status_code == 403
    settings.METRICS_TOKEN = ""
    assert client.get("/metrics", headers={"Authorization": "Bearer "}).status_code == 403


def test_a_new_server_has_nothing_to_be_old(client: Client, token: str) -> None:
    found = scraped(client, token)
    assert found["levelpeg_entries_held"] == found["levelpeg_renders_failed"] == found["levelpeg_mail_waiting"] == 0
    assert "levelpeg_backup_age_seconds" not in found
    assert "levelpeg_ledger_verified_age_seconds" not in found
    assert found["levelpeg_certificate_days_left"] > 1000


def test_marks_grow_old(client: Client, token: str) -> None:
    mark(Mark.Of.BACKUP, at=timezone.now() - 2 * HOUR)
    mark(Mark.Of.LEDGER, at=timezone.now() - HOUR, went_well=False)
    found = scraped(client, token)
    assert 7200 <= found["levelpeg_backup_age_seconds"] < 7260
    assert 3600 <= found["levelpeg_ledger_verified_age_seconds"] < 3660
    assert found["levelpeg_ledger_holds"] == 0


def test_the_most_silent_tablet_with_a_walk_round_under_way(booked: Rental, isla: Person, tablet: Device) -> None:
    now, walk = timezone.now(), start(booked, "pickup", isla)
    other = Device.objects.create(pk=uuid7(), made_by=isla)
    receipt(tablet, now - 3 * HOUR, walk=walk.pk)
    receipt(tablet, now - 2 * HOUR)
    receipt(other, now - HOUR, walk=walk.pk)
    receipt(Device.objects.create(pk=uuid7(), made_by=isla), now - 9 * HOUR, walk=uuid7())
    assert figures(now).unsent_s == 7200
    walk.finished_at = now
    walk.save()
    assert figures(now).unsent_s is None


def test_how_late_entries_come(tablet: Device) -> None:
    now = timezone.now()
    receipt(tablet, now - 2 * HOUR, at=now - 9 * HOUR)
    assert figures(now).late_s is None
    receipt(tablet, now - HOUR / 2, at=now - HOUR)
    receipt(tablet, now, at=now - timedelta(seconds=2))
    assert figures(now).late_s == 1800


def test_held_and_half_arrived(isla: Person, tablet: Device) -> None:
    now = timezone.now()
    receipt(tablet, now - HOUR, outcome="held")
    receipt(tablet, now - 2 * HOUR, outcome="held", settled_at=now, settled_by=isla, settled="tried")
    for refused in ("", "It is no photo."):
        upload = Upload.objects.create(key=uuid7(), size=9, sha256="0" * 64, by=isla, refused=refused)
        Upload.objects.filter(pk=upload.pk).update(begun_at=now - HOUR)
    Upload.objects.create(key=uuid7(), size=9, sha256="0" * 64, by=isla, whole_at=now)
    told = figures(now)
    assert (told.held, told.held_oldest_s) == (1, 3600)
    assert (told.half_arrived, told.half_arrived_oldest_s) == (1, 3600)


def test_records_and_mail(client: Client, token: str, booked: Rental, isla: Person) -> None:
    now, leg = timezone.now(), booked.legs.get()
    for number, state in enumerate(["waiting", "failed", "ready"]):
        Record.objects.create(
            rental=booked, leg=leg, kind="pickup", version=number + 1, code=f"7Q4M-2KX{number}", made_at=now - HOUR,
            state=state,
        )  # fmt: skip
    link = CustomerLink.objects.create(rental=booked, digest="0" * 64, made_at=now, made_by=isla, expires_at=now + HOUR)
    for state, ended in (("waiting", None), ("failed", now)):
        LinkDelivery.objects.create(link=link, address_digest="0" * 64, state=state, at=now, by=isla, ended_at=ended)
    found = scraped(client, token)
    assert (found["levelpeg_renders_waiting"], found["levelpeg_renders_failed"]) == (1, 1)
    assert 3600 <= found["levelpeg_renders_oldest_seconds"] < 3660
    assert (found["levelpeg_mail_waiting"], found["levelpeg_mail_failed"]) == (1, 1)


def test_tasks_by_state(client: Client, token: str, worked: None) -> None:  # noqa: F811
    a_task(enqueued_at=timezone.now() - HOUR)
    a_task(status="FAILED")
    found = scraped(client, token)
    assert (found["levelpeg_tasks/ready"], found["levelpeg_tasks/running"], found["levelpeg_tasks/failed"]) == (1, 0, 1)
    assert 3600 <= found["levelpeg_task_oldest_ready_seconds"] < 3660


def test_requests_are_counted_by_name_and_class(client: Client, token: str) -> None:
    name = "levelpeg_request_seconds_count/GET/2xx/check"
    before = scraped(client, token).get(name, 0)
    client.get("/check/")
    client.get("/check/?number=LK-20418")
    after = scraped(client, token)
    assert after[name] == before + 2
    assert not any("20418" in key for key in after)


def test_invented_methods_make_no_new_series() -> None:
    for number in range(50):
        count_request(url="check", method=f"X{number}", status=405, seconds=0.1)
    methods = {sample.labels["method"] for family in OWN.collect() for sample in family.samples}
    assert methods <= METHODS | {"other"}


def test_a_scrape_reads_a_fixed_number_of_times(client: Client, token: str, django_assert_num_queries: object) -> None:
    scraped(client, token)
    with django_assert_num_queries(12):  # type: ignore[operator]
        scraped(client, token)
