"""The examples under .deploy: they can be read, name what there is, give up their rights and hold no secret."""

import logging
import os
import re
import runpy
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from django.core.management import get_commands

ROOT = Path(__file__).resolve().parents[2]
DEPLOY = ROOT / ".deploy"
UNITS = sorted((DEPLOY / "systemd").iterdir())
SERVICES = [path for path in UNITS if path.suffix == ".service"]
COMMAND = re.compile(r"""manage\.py["',]*\s+["']?([a-z_]+)""")


def unit(path: Path) -> dict[str, dict[str, list[str]]]:
    """Sections of a unit; a name may stand several times."""
    found: dict[str, dict[str, list[str]]] = {}
    for line in path.read_text().splitlines():
        if line.startswith("["):
            section = found.setdefault(line.strip("[]"), {})
        elif line and not line.startswith("#"):
            name, _equals, value = line.partition("=")
            section.setdefault(name, []).append(value)
    return found


def compose() -> dict[str, Any]:
    said: dict[str, Any] = yaml.safe_load((DEPLOY / "compose.yaml").read_text())
    return said


def every_file() -> Iterator[Path]:
    return (path for path in DEPLOY.rglob("*") if path.is_file() and "__pycache__" not in path.parts)


def test_only_commands_that_exist_are_named() -> None:
    named = {name for path in every_file() for name in COMMAND.findall(path.read_text())}
    assert {"backup", "seal_day", "verify_ledger", "tasks_again", "db_worker", "migrate"} <= named
    assert named - set(get_commands()) == set()


def test_only_settings_that_are_read_are_named() -> None:
    read = "".join(path.read_text() for path in (ROOT / "shared" / "settings.py", DEPLOY / "gunicorn.conf.py"))
    said = re.findall(r"^#? ?([A-Z_]+)=", (DEPLOY / "levelpeg.env.example").read_text(), re.MULTILINE)
    said += compose()["x-levelpeg"]["environment"]
    own = {name for name in said if name.startswith(("LEVELPEG_", "RECORD_", "FILES_", "TASKS"))}
    assert len(own) > 15
    assert [name for name in own if f'"{name}"' not in read] == []


def test_no_secret_stands_in_them() -> None:
    for path in every_file():
        for name, value in re.findall(
            r"([A-Z_]*(?:SECRET|PASSWORD|PASSPHRASE|TOKEN|KEY)[A-Z_]*)=(\S+)", path.read_text()
        ):
            assert value.startswith("<") or value in {"only-while-it-is-built"}, (path, name)
    assert "PRIVATE KEY" not in "".join(path.read_text() for path in every_file())


@pytest.mark.parametrize("path", SERVICES, ids=lambda path: path.name)
def test_a_service_gives_up_what_it_does_not_need(path: Path) -> None:
    said = unit(path)["Service"]
    assert said["User"] == ["levelpeg"]
    assert said["ProtectSystem"] == ["strict"]
    assert said["CapabilityBoundingSet"] == [""]
    for name in ("NoNewPrivileges", "ProtectHome", "PrivateTmp", "PrivateDevices", "RestrictNamespaces"):
        assert said[name] == ["yes"], name


def test_every_timer_has_its_service_and_every_helper_its_unit() -> None:
    names = {path.name for path in UNITS}
    for path in UNITS:
        assert path.suffix != ".timer" or f"{path.stem}.service" in names
        for wanted in unit(path)["Unit"].get("OnFailure", ()):
            assert wanted.replace("%n", "") in names


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="systemd is not here")
@pytest.mark.parametrize("path", [*SERVICES[:1], *SERVICES[-2:]], ids=lambda path: path.name)
def test_systemd_calls_them_safe(path: Path) -> None:
    """Its own measure from 0 (safe) to 10; a unit without any hardening has 9.6."""
    command = ["systemd-analyze", "security", "--offline=yes", "--threshold=20", "--no-pager", str(path)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 0, done.stdout[-400:] + done.stderr


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="systemd is not here")
def test_systemd_reads_them() -> None:
    done = subprocess.run(
        ["systemd-analyze", "verify", "--man=no", *map(str, UNITS)],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    ours = [line for line in done.stderr.splitlines() if "levelpeg" in line]
    # The program is not installed where they say.
    assert [line for line in ours if "is not executable" not in line] == []


def test_containers_run_without_rights() -> None:
    services = compose()["services"]
    for name in ("migrate", "web", "worker", "night"):
        said = services[name]
        assert (said["user"], said["read_only"], said["cap_drop"]) == ("10001:10001", True, ["ALL"])
    for said in services.values():
        assert "no-new-privileges:true" in said["security_opt"]
        assert not said.get("privileged")


def test_the_image_ends_as_nobody_of_importance() -> None:
    lines = (DEPLOY / "Containerfile").read_text().splitlines()
    users = [line for line in lines if line.startswith("USER ")]
    assert users == ["USER 10001:10001"]
    last = lines.index(users[0])
    assert not any(line.startswith(("RUN", "COPY")) for line in lines[last:])
    assert len([line for line in lines if line.startswith("FROM ")]) == 2


def test_what_is_copied_into_the_image_is_there_and_is_sent() -> None:
    text = (DEPLOY / "Containerfile").read_text()
    sources = [line.split()[1] for line in text.splitlines() if line.startswith("COPY ") and "--from" not in line]
    sent = {line[1:] for line in (ROOT / ".dockerignore").read_text().splitlines() if line.startswith("!")}
    assert [name for name in sources if not (ROOT / name).exists() or name not in sent] == []


def test_style_and_scripts_are_collected_as_the_image_does(tmp_path: Path) -> None:
    """However deep the tablet's modules import each other: a server without it shows no page."""
    here = os.environ | {
        "LEVELPEG_VAR": str(tmp_path), "LEVELPEG_STATIC": str(tmp_path / "static"), "LEVELPEG_PRODUCTION": "1",
        "LEVELPEG_SECRET_KEY": "only-while-it-is-built", "RECORD_PKCS12_FILE": "/none",
        "DJANGO_SETTINGS_MODULE": "shared.settings",
    }  # fmt: skip
    command = [sys.executable, "manage.py", "collectstatic", "--no-input", "--verbosity", "0"]
    done = subprocess.run(command, cwd=ROOT, env=here, capture_output=True, text=True, check=False, timeout=110)
    assert done.returncode == 0, done.stderr[-400:]
    assert (tmp_path / "static" / "staticfiles.json").is_file()


def test_mounted_files_are_named_in_the_text_above() -> None:
    """What is no part of the project has to be made by whoever follows the example."""
    text = (DEPLOY / "compose.yaml").read_text()
    head = text.partition("name: levelpeg")[0]
    for name in ("levelpeg.env", "database-password", "seal.p12", "roots.pem"):
        assert name in head
    assert (DEPLOY / "proxy.conf").is_file()


def test_the_proxy_logs_no_address() -> None:
    text = (DEPLOY / "proxy.conf").read_text()
    format_said = text.partition("log_format")[2].partition(";")[0]
    for name in ("$request ", "$request_uri", "$uri", "$args", "$http_referer", "$remote_addr"):
        assert name not in f"{format_said} "
    assert "access_log /dev/stdout levelpeg;" in text


def test_gunicorn_repeats_no_address_of_its_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PROMETHEUS_MULTIPROC_DIR", str(tmp_path))
    said = runpy.run_path(str(DEPLOY / "gunicorn.conf.py"))
    line = logging.LogRecord("gunicorn.error", logging.ERROR, "", 0, "Error handling request %s", ("/c/key/",), None)
    assert said["without_address"](line)
    assert "key" not in line.getMessage()
    assert said["accesslog"] is None


@pytest.fixture
def served(tmp_path: Path) -> Iterator[str]:
    """gunicorn with the example's settings and two processes; its address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        address = f"127.0.0.1:{free.getsockname()[1]}"
    here = {name: value for name, value in os.environ.items() if name not in {"DATABASE_URL", "FILES_URL"}} | {
        "LEVELPEG_VAR": str(tmp_path), "LEVELPEG_BIND": address, "LEVELPEG_PROCESSES": "2", "LEVELPEG_LOG": "json",
        "LEVELPEG_METRICS_TOKEN": "of-this-test", "DJANGO_SETTINGS_MODULE": "tests.running.drill_settings",
    }  # fmt: skip
    migrate = [sys.executable, "manage.py", "migrate", "--run-syncdb", "--verbosity", "0"]
    subprocess.run(migrate, cwd=ROOT, env=here, check=True, timeout=90)
    command = [sys.executable, "-m", "gunicorn", "-c", ".deploy/gunicorn.conf.py", "shared.wsgi"]
    with (tmp_path / "log").open("w") as log:
        process = subprocess.Popen(command, cwd=ROOT, env=here, stdout=log, stderr=log)
        try:
            yield address
        finally:
            process.send_signal(signal.SIGTERM)
            process.wait(timeout=40)


def asked(address: str, path: str, **headers: str) -> str:
    with urllib.request.urlopen(
        urllib.request.Request(f"http://{address}{path}", headers=headers), timeout=60
    ) as answer:
        return str(answer.read().decode())


def test_gunicorn_counts_over_its_processes_and_logs_no_address(served: str, tmp_path: Path) -> None:
    until = time.monotonic() + 60
    while time.monotonic() < until:
        try:
            asked(served, "/health/live")
            break
        except OSError:
            time.sleep(0.1)
    for _ in range(29):
        asked(served, "/health/live?name=Oduya")
    told = asked(served, "/metrics", Authorization="Bearer of-this-test")
    count = next(line for line in told.splitlines() if "seconds_count" in line and 'url="health-live"' in line)
    assert count.endswith(" 30.0")
    log = (tmp_path / "log").read_text()
    assert '"url": "health-live"' in log
    assert "Oduya" not in log
