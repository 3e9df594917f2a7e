"""No task is done twice, none is left half done: two workers at once, one that is killed, orders without a task."""

import os
import subprocess
import sys
import time
from collections import Counter
from datetime import timedelta
from io import StringIO
from pathlib import Path
from unittest.mock import patch

import pytest
from django.core.management import call_command
from django.db import connection
from django.utils import timezone
from django_tasks_db.models import DBTaskResult
from pytest_django.fixtures import Settings

from handover.record.actions import make_record
from handover.record.models import Record
from handover.rental.models import Rental
from shared.access.models import Person
from shared.files.away import SENTENCE, StoreAway
from shared.ledger.models import Entry
from tests.playing import go
from tests.running.counted import count, count_when_told
from tests.running.test_health import a_task, worked  # noqa: F401 a fixture

ROOT = Path(__file__).resolve().parents[2]
HOUR = timedelta(hours=1)


def again(*words: str) -> str:
    said = StringIO()
    call_command("tasks_again", *words, stdout=said)
    return said.getvalue()


def worker(*words: str) -> "subprocess.Popen[bytes]":
    """In a process of its own, on the database of this test."""
    where = connection.settings_dict
    address = f"postgres://{where['USER']}@{where['HOST']}:{where['PORT']}/{where['NAME']}"
    here = os.environ | {
        "DATABASE_URL": address, "TASKS": "database", "DJANGO_SETTINGS_MODULE": "tests.running.drill_settings"
    }  # fmt: skip
    command = [sys.executable, "manage.py", "db_worker", "--no-startup-delay", "--interval", "0", *words]
    return subprocess.Popen(command, cwd=ROOT, env=here)


def runs(folder: Path) -> Counter[str]:
    """How often each number was counted."""
    return Counter(path.stem for path in folder.glob("*.*"))


needs_postgresql = pytest.mark.skipif(
    "postgres" not in os.environ.get("DATABASE_URL", ""), reason="Several workers need PostgreSQL: make test-postgres"
)


@needs_postgresql
def test_two_workers_do_each_task_once(transactional_db: None, worked: None, tmp_path: Path) -> None:  # noqa: F811
    """They claim with SELECT … FOR UPDATE SKIP LOCKED, so neither waits for the other."""
    for number in range(200):
        count.enqueue(number, str(tmp_path))
    both = [worker("--batch", "--worker-id", name) for name in ("one", "two")]
    assert [each.wait(timeout=100) for each in both] == [0, 0]
    found = DBTaskResult.objects.values_list("status", "worker_ids")
    assert {status for status, _workers in found} == {"SUCCESSFUL"}
    assert {len(workers) for _status, workers in found} == {1}
    assert runs(tmp_path) == {str(number): 1 for number in range(200)}


@needs_postgresql
def test_a_task_is_claimed_without_waiting(transactional_db: None, worked: None) -> None:  # noqa: F811
    from django.db import transaction
    from django.test.utils import CaptureQueriesContext

    count.enqueue(1, "/nowhere")
    with CaptureQueriesContext(connection) as asked, transaction.atomic():
        DBTaskResult.objects.ready().get_locked()
    assert any("FOR UPDATE SKIP LOCKED" in query["sql"] for query in asked.captured_queries)


@needs_postgresql
def test_what_a_killed_worker_had_begun_is_done_by_the_next(
    transactional_db: None,
    worked: None,  # noqa: F811
    tmp_path: Path,
) -> None:
    count_when_told.enqueue(1, str(tmp_path))
    first = worker("--worker-id", "yard-1")
    until = time.monotonic() + 60
    while not (tmp_path / "begun").exists() and time.monotonic() < until:
        time.sleep(0.01)
    first.kill()
    first.wait(timeout=10)
    assert DBTaskResult.objects.get().status == "RUNNING"
    (tmp_path / "go").touch()
    assert again("--worker", "another") == "0 tasks wait again.\n"
    assert again("--worker", "yard-1") == "1 tasks wait again.\n"
    assert worker("--batch", "--worker-id", "yard-1").wait(timeout=60) == 0
    assert DBTaskResult.objects.get().status == "SUCCESSFUL"
    assert runs(tmp_path) == {"1": 1}


def test_a_task_whose_worker_is_long_gone_waits_again(db: None) -> None:
    old = a_task(status="RUNNING", started_at=timezone.now() - HOUR, worker_ids=["gone"])
    young = a_task(status="RUNNING", started_at=timezone.now(), worker_ids=["here"])
    assert again() == "1 tasks wait again.\n"
    assert DBTaskResult.objects.get(pk=old.pk).status == "READY"
    assert DBTaskResult.objects.get(pk=young.pk).status == "RUNNING"


def test_failed_ones_only_when_asked(db: None) -> None:
    a_task(status="FAILED")
    assert again() == "0 tasks wait again.\n"
    assert again("--failed") == "1 tasks wait again.\n"


@pytest.fixture
def ordered(booked: Rental, isla: Person) -> Record:
    """A record whose task has not run: in a test nothing is committed."""
    go(booked, isla, diesel="82", odometer="41206 mi", gas_front="11.7")
    return Record.objects.get()


def entries(kind: str) -> int:
    return Entry.objects.filter(kind=kind).count()


def test_a_record_is_sealed_once_however_often_its_task_runs(ordered: Record) -> None:
    for _time in range(3):
        make_record.func(str(ordered.pk))
    assert entries("record.made") == 1
    ordered.refresh_from_db()
    assert ordered.state == "ready"


def test_killed_after_the_file_and_before_the_row(ordered: Record) -> None:
    """The file is one too many; the row and its entry come together or not at all, and then with the next run."""
    with patch("handover.record.actions.append", side_effect=KeyboardInterrupt), pytest.raises(KeyboardInterrupt):
        make_record.func(str(ordered.pk))
    ordered.refresh_from_db()
    assert (ordered.state, entries("record.made")) == ("waiting", 0)
    make_record.func(str(ordered.pk))
    assert entries("record.made") == 1


def test_a_store_that_is_away_is_said_on_the_record_which_is_then_made(ordered: Record) -> None:
    with patch("handover.record.actions.keep", side_effect=StoreAway):
        make_record.func(str(ordered.pk))
    ordered.refresh_from_db()
    assert (ordered.state, ordered.problem) == ("failed", SENTENCE)
    make_record.func(str(ordered.pk))
    ordered.refresh_from_db()
    assert (ordered.state, ordered.problem) == ("ready", "")


def test_what_waits_without_a_task_is_ordered_anew(booked: Rental, settings: Settings, worked: None) -> None:  # noqa: F811
    leg, before = booked.legs.get(), timezone.now() - HOUR
    rows = [
        Record.objects.create(
            rental=booked, leg=leg, kind="pickup", version=version, code=f"7Q4M-2KX{version}", made_at=at, state=state
        )
        for version, (at, state) in enumerate(
            [(before, "waiting"), (before, "waiting"), (timezone.now(), "waiting"), (before, "failed")], start=1
        )
    ]
    make_record.enqueue(str(rows[1].pk))
    assert again("--unmade").endswith("1 records, letters, bundles, e-mails and pairs of photos are ordered anew.\n")
    waiting = DBTaskResult.objects.ready().values_list("args_kwargs", flat=True)
    assert {said["args"][0] for said in waiting} == {str(row.pk) for row in rows[:2]}
    assert again("--unmade").splitlines()[-1].startswith("0 records")
