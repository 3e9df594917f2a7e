"""What a proxy, a container and a monitor are told; each answer is tried by making it so."""

from datetime import timedelta
from pathlib import Path
from unittest.mock import patch

import pytest
from django.db import OperationalError
from django.test import Client
from django.utils import timezone
from django_tasks_db.models import DBTaskResult
from pytest_django.fixtures import Settings

from shared.running.health import Migrated


def ready(client: Client) -> tuple[int, dict[str, object]]:
    answer = client.get("/health/ready")
    return answer.status_code, answer.json()


def a_task(**said: object) -> DBTaskResult:
    task = DBTaskResult.objects.create(
        task_path="handover.record.actions.make_record", args_kwargs={"args": [], "kwargs": {}}, backend_name="default",
        run_after=timezone.now(),
    )  # fmt: skip
    DBTaskResult.objects.filter(pk=task.pk).update(**said)
    return task


@pytest.fixture
def worked(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def test_a_process_that_answers_is_alive(client: Client) -> None:
    """Also without a database: no test of this asks for one."""
    answer = client.get("/health/live")
    assert (answer.status_code, answer.json()) == (200, {"live": True})
    assert "no-store" in answer.headers["Cache-Control"]


def test_ready(client: Client, db: None) -> None:
    status, said = ready(client)
    assert status == 200
    assert said == {"ready": True, "database": "ok", "migrations": "ok", "storage": "ok", "tasks": "ok"}


def test_no_database(client: Client, db: None) -> None:
    with patch("shared.running.health.connection.cursor", side_effect=OperationalError("password of levelpeg")):
        status, said = ready(client)
    assert (status, said) == (503, {"ready": False, "database": "not now"})


def test_tables_of_another_version(client: Client, db: None) -> None:
    with (
        patch("shared.running.health.is_migrated", Migrated()),
        patch("shared.running.health.pending_migrations", return_value=["shared.0099"]),
    ):
        status, said = ready(client)
    assert (status, said["migrations"]) == (503, "not now")


def test_migrations_are_looked_at_until_they_are_there(db: None) -> None:
    migrated = Migrated()
    with patch("shared.running.health.pending_migrations", side_effect=[["one"], []]) as asked:
        assert [migrated() for _ in range(4)] == [False, True, True, True]
    assert asked.call_count == 2


def test_a_store_that_is_away(client: Client, db: None, settings: Settings) -> None:
    away = {"BACKEND": "shared.files.objects.ObjectEvidenceStorage"}
    address = "s3://a:b@127.0.0.1:9/yard?secure=0"
    settings.STORAGES = settings.STORAGES | {"evidence": away | {"OPTIONS": {"address": address, "attempts": 1}}}
    status, said = ready(client)
    assert (status, said["storage"]) == (503, "not now")


def test_a_task_that_nobody_takes(client: Client, db: None, worked: None) -> None:
    """It is said; the pages go on."""
    a_task(enqueued_at=timezone.now() - timedelta(minutes=9))
    assert ready(client)[1]["tasks"] == "ok"
    a_task(enqueued_at=timezone.now() - timedelta(minutes=11))
    status, said = ready(client)
    assert (status, said["ready"], said["tasks"]) == (200, True, "not now")


def test_it_is_cheap(client: Client, db: None, worked: None, django_assert_num_queries: object) -> None:
    ready(client)
    with django_assert_num_queries(2):  # type: ignore[operator]
        ready(client)


def test_over_http_too_in_production(settings: Settings, client: Client) -> None:
    """A container asks itself, without a certificate."""
    settings.SECURE_SSL_REDIRECT = True
    settings.SECURE_REDIRECT_EXEMPT = [r"^health/(live|ready)$", r"^metrics$"]
    assert client.get("/health/live").status_code == 200
    assert client.get("/check/").status_code == 301
    settings_file = Path(__file__).resolve().parents[2] / "shared" / "settings.py"
    assert 'SECURE_REDIRECT_EXEMPT = [r"^health/(live|ready)$", r"^metrics$"]' in settings_file.read_text()
