"""Every finding is made to be so, and then is said; where nothing is wrong, nothing is said."""

import json
import socket
import zoneinfo
from collections.abc import Iterator
from datetime import timedelta
from io import StringIO
from pathlib import Path
from types import SimpleNamespace
from unittest.mock import patch

import pytest
from django.core.management import call_command
from django.db import connection
from django.utils import timezone
from pytest_django.fixtures import Settings

from fleet.models import Branch
from handover.record.models import Record
from handover.rental.models import Rental
from handover.running import doctor
from handover.tablet.models import Device, Upload
from shared.access.models import Person
from shared.ids import uuid7
from shared.running.doctor import keeping, machine, setting
from shared.running.doctor.finding import Check, Finding, examine
from shared.running.models import Mark, mark
from tests.ledger.conftest import write  # noqa: F401 a fixture
from tests.running.test_health import a_task, worked  # noqa: F401 a fixture
from tests.running.test_metrics import receipt, tablet  # noqa: F401 a fixture

pytestmark = pytest.mark.django_db
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


def found(check: Check) -> list[str]:
    return [finding.name for finding in check()]


@pytest.fixture
def served(settings: Settings, tmp_path: Path) -> Settings:
    """As for real customers."""
    settings.PRODUCTION, settings.DEBUG = True, False
    settings.ALLOWED_HOSTS = ["levelpeg.example"]
    settings.PUBLIC_URL = "https://levelpeg.example"
    settings.STATIC_ROOT = tmp_path
    (tmp_path / "staticfiles.json").write_text("{}")
    return settings


@pytest.mark.parametrize("check", setting.CHECKS)
def test_settings_that_are_right(check: Check, served: Settings) -> None:
    assert found(check) == []


def test_a_demo_says_that_it_is_one(settings: Settings) -> None:
    (finding,) = setting.production()
    assert (finding.name, finding.wrong) == ("production", False)


@pytest.mark.parametrize(
    ("check", "name", "value", "said"),
    [
        (setting.production, "DEBUG", True, "debug"),
        (setting.hosts, "ALLOWED_HOSTS", ["*"], "hosts"),
        (setting.hosts, "ALLOWED_HOSTS", ["127.0.0.1", "localhost"], "hosts"),
        (setting.public_url, "PUBLIC_URL", "http://levelpeg.example", "public-url"),
        (setting.public_url, "PUBLIC_URL", "https://localhost", "public-url"),
        (setting.public_url, "PUBLIC_URL", "https://another.example", "public-url"),
        (setting.static_files, "STATIC_ROOT", Path("/nowhere"), "static"),
    ],
)
def test_a_setting_that_is_wrong(served: Settings, check: Check, name: str, value: object, said: str) -> None:
    setattr(served, name, value)
    assert found(check) == [said]


def test_folders(settings: Settings, tmp_path: Path) -> None:
    assert found(machine.folders) == []
    settings.VAR_DIR = tmp_path
    settings.UPLOADS_DIR = Path("/proc/levelpeg/uploads")
    (finding,) = machine.folders()
    assert "/proc/levelpeg/uploads" in finding.sentence


def test_a_full_disk() -> None:
    with patch("shutil.disk_usage", return_value=SimpleNamespace(total=100e9, used=20e9, free=80e9)):
        assert found(machine.room) == []
    for total, free in ((100e9, 1e9), (1000e9, 40e9)):
        with patch("shutil.disk_usage", return_value=SimpleNamespace(total=total, used=total - free, free=free)):
            assert found(machine.room) == ["disk"]


def test_a_clock_that_was_set_back(write: object) -> None:  # noqa: F811
    write()  # type: ignore[operator]
    assert found(machine.clock) == []
    with patch("shared.running.doctor.machine.timezone.now", return_value=timezone.now() - HOUR):
        (finding,) = machine.clock()
    assert "3600 s in the future" in finding.sentence


def test_time_zones(inverlark: Branch) -> None:
    assert found(machine.time_zones) == found(doctor.zones_of_branches) == []
    with patch("zoneinfo.ZoneInfo", side_effect=zoneinfo.ZoneInfoNotFoundError):
        assert found(machine.time_zones) == ["time-zones"]
    Branch.objects.update(zone="Europe/Nowhere")
    assert found(doctor.zones_of_branches) == ["branch-zone"]


@pytest.fixture
def port() -> Iterator[int]:
    with socket.create_server(("127.0.0.1", 0)) as server:
        yield server.getsockname()[1]


def test_mail(settings: Settings, port: int) -> None:
    settings.EMAIL_HOST = ""
    assert [(finding.name, finding.wrong) for finding in machine.mail()] == [("mail", False)]
    settings.PRODUCTION = True
    assert [finding.wrong for finding in machine.mail()] == [True]
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", port
    assert found(machine.mail) == []


def test_a_mail_server_that_is_away(settings: Settings) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", server.getsockname()[1]
    (finding,) = machine.mail()
    assert "does not answer" in finding.sentence


def test_tables_of_an_earlier_version() -> None:
    assert found(keeping.migrations) == []
    with patch("shared.running.doctor.keeping.pending_migrations", return_value=["shared.0099", "fleet.0099"]):
        (finding,) = keeping.migrations()
    assert "2 changes wait, the first shared.0099" in finding.sentence


def test_a_trigger_that_was_taken_away() -> None:
    assert found(keeping.ledger_triggers) == []
    name = "ledger_no_update" if connection.vendor == "sqlite" else "ledger_no_change"
    with patch("shared.ledger.triggers.missing", return_value=[name]):
        (finding,) = keeping.ledger_triggers()
    assert name in finding.sentence


def test_a_database_that_forgets() -> None:
    assert found(keeping.durability) == []
    mode, level = ("delete", "1") if connection.vendor == "sqlite" else ("", "off")
    answers = {"PRAGMA journal_mode": mode, "PRAGMA synchronous": level, "SHOW synchronous_commit": level}
    with patch("shared.running.doctor.keeping._asked", side_effect=answers.__getitem__):
        said = found(keeping.durability)
    assert said == (["wal", "synchronous"] if connection.vendor == "sqlite" else ["synchronous"])


def test_a_store_that_takes_nothing(settings: Settings) -> None:
    assert found(keeping.store) == []
    local = {"BACKEND": "shared.files.storage.EvidenceStorage", "OPTIONS": {"location": "/proc/levelpeg"}}
    settings.STORAGES = settings.STORAGES | {"evidence": local}
    assert found(keeping.store) == ["store"]


def test_the_probe_leaves_nothing(settings: Settings, tmp_path: Path) -> None:
    local = {"BACKEND": "shared.files.storage.EvidenceStorage", "OPTIONS": {"location": tmp_path}}
    settings.STORAGES = settings.STORAGES | {"evidence": local}
    assert found(keeping.store) == []
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


def test_days_without_a_seal(write: object) -> None:  # noqa: F811
    assert found(keeping.unsealed_days) == []
    for days in (3, 2):
        with patch("django.utils.timezone.now", return_value=timezone.now() - days * DAY):
            write()  # type: ignore[operator]
    (finding,) = keeping.unsealed_days()
    assert finding.wrong
    assert finding.sentence.startswith("2 days are over and not sealed")


def test_the_ledger_is_checked_now_and_then(settings: Settings) -> None:
    assert [finding.wrong for finding in keeping.ledger_checked()] == [False]
    settings.PRODUCTION = True
    assert [finding.wrong for finding in keeping.ledger_checked()] == [True]
    mark(Mark.Of.LEDGER, at=timezone.now() - 9 * DAY)
    assert found(keeping.ledger_checked) == ["ledger"]
    mark(Mark.Of.LEDGER, at=timezone.now() - DAY)
    assert found(keeping.ledger_checked) == []
    mark(Mark.Of.LEDGER, went_well=False)
    (finding,) = keeping.ledger_checked()
    assert "did not hold" in finding.sentence


def test_a_check_leaves_its_mark() -> None:
    call_command("verify_ledger", stdout=StringIO())
    assert found(keeping.ledger_checked) == []


def test_backups(settings: Settings) -> None:
    settings.PRODUCTION = True
    (finding,) = keeping.backups()
    assert finding.sentence == "There is no backup."
    mark(Mark.Of.BACKUP, at=timezone.now() - 27 * HOUR)
    assert found(keeping.backups) == ["backup"]
    mark(Mark.Of.BACKUP, at=timezone.now() - 25 * HOUR)
    assert found(keeping.backups) == []


def test_a_worker(worked: None) -> None:  # noqa: F811
    assert found(keeping.worker) == []
    a_task(enqueued_at=timezone.now() - HOUR)
    a_task(status="RUNNING", started_at=timezone.now() - HOUR)
    a_task(status="FAILED")
    assert found(keeping.worker) == ["worker", "stuck-tasks", "failed-tasks"]


def test_tasks_that_run_at_once_need_none() -> None:
    a_task(enqueued_at=timezone.now() - HOUR)
    assert found(keeping.worker) == []


def test_the_key(settings: Settings) -> None:
    assert found(doctor.certificate) == []
    settings.PRODUCTION = True
    assert found(doctor.certificate) == ["demo-key"]


@pytest.mark.parametrize(("left", "name", "wrong"), [(None, "seal", True), (20, "certificate", False),
                                                     (6, "certificate", True), (-1, "certificate", True)])  # fmt: skip
def test_a_certificate_that_ends(left: int | None, name: str, wrong: bool) -> None:
    with patch("handover.running.doctor.seal_days_left", return_value=left):
        assert [(finding.name, finding.wrong) for finding in doctor.certificate()] == [(name, wrong)]


def test_letters_that_no_face_draws() -> None:
    assert found(doctor.faces) == []
    # A letter of a script that was never given one stands for a machine without the faces.
    with patch.dict(doctor.LETTERS, {"Unassigned": "\U000e1234"}):
        (finding,) = doctor.faces()
    assert "in Unassigned letters" in finding.sentence


def test_what_waits_for_a_person(booked: Rental, isla: Person, tablet: Device) -> None:  # noqa: F811
    from tests.playing import start

    assert found(doctor.day_to_day) == []
    now = timezone.now()
    receipt(tablet, now - 5 * HOUR, outcome="held", walk=start(booked, "pickup", isla).pk)
    upload = Upload.objects.create(key=uuid7(), size=9, sha256="0" * 64, by=isla)
    Upload.objects.filter(pk=upload.pk).update(begun_at=now - 2 * DAY)
    for version, state in enumerate(("failed", "waiting"), start=1):
        Record.objects.create(
            rental=booked, leg=booked.legs.get(), kind="pickup", version=version, code=f"7Q4M-2KX{version}",
            made_at=now - HOUR, state=state,
        )  # fmt: skip
    assert found(doctor.day_to_day) == ["held", "unsent", "half-arrived", "renders-failed", "renders-waiting"]


def test_mail_that_was_not_taken() -> None:
    from dataclasses import replace

    from handover.running.figures import Queue, figures

    told = replace(figures(timezone.now()), mail=Queue(0, 2))
    with patch("handover.running.doctor.figures", return_value=told):
        assert found(doctor.day_to_day) == ["mail-failed"]


def broken() -> Iterator[Finding]:
    raise ValueError("row of Maren Oduya")
    yield


def test_a_check_that_breaks_is_a_finding_and_the_others_go_on() -> None:
    said = list(examine((broken, setting.production)))
    assert [finding.name for finding in said] == ["broken", "production"]
    assert "Oduya" not in said[0].sentence


def told(*words: str) -> tuple[int, str]:
    said = StringIO()
    try:
        call_command("doctor", *words, stdout=said)
    except SystemExit as left:
        return int(str(left.code)), said.getvalue()
    return 0, said.getvalue()


def test_the_command_ends_with_what_it_found() -> None:
    """A demo: what is worth knowing, and nothing wrong."""
    status, said = told()
    assert status == 0
    assert said.endswith("Nothing is wrong.\n")
    assert "Note   There is no backup.\n       Run manage.py backup" in said


def test_the_command_fails_and_says_it_to_programs(settings: Settings) -> None:
    settings.PRODUCTION, settings.ALLOWED_HOSTS = True, ["localhost"]
    status, said = told("--json")
    assert status == 1
    findings = json.loads(said)
    assert {"name", "sentence", "do", "wrong"} == set(findings[0])
    assert {"hosts", "public-url", "backup", "demo-key"} <= {each["name"] for each in findings if each["wrong"]}


def test_every_finding_says_what_to_do(settings: Settings) -> None:
    settings.PRODUCTION = True
    for finding in examine(doctor.CHECKS):
        assert finding.sentence.endswith(".")
        assert finding.do
