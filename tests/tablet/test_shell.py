"""The shell: without data, the same for everybody, and new with every byte of what it needs."""

import json
from pathlib import Path

import pytest
from django.test import Client

from handover.tablet import shell


@pytest.mark.parametrize("address", ["/sw.js", "/manifest.webmanifest", "/shell/"])
def test_without_signing_in(client: Client, db: None, address: str) -> None:
    assert client.get(address).status_code == 200


def test_the_service_worker_answers_for_every_address(client: Client, db: None) -> None:
    answer = client.get("/sw.js")
    assert answer.headers["Service-Worker-Allowed"] == "/"
    assert "no-cache" in answer.headers["Cache-Control"]
    assert answer.headers["Content-Type"].startswith("text/javascript")
    assert f'"{shell.shell_version()}"' in answer.text


def test_the_shell_says_nothing_of_who_is_signed_in(as_isla: Client) -> None:
    assert "Isla" not in as_isla.get("/shell/").text


def test_all_that_is_listed_is_there(client: Client, db: None) -> None:
    assets = shell.shell_assets()
    assert {"/shell/", "/static/css/walk.css", "/static/js/step.js", "/static/favicon.svg"} <= set(assets)
    assert not [address for address in assets if "print" in address or "admin" in address]
    for address in assets[:2]:
        assert client.get(address).status_code == 200
    assert all((shell.STATIC / name).is_file() for name in shell.asset_names())


def test_the_manifest_is_json(client: Client, db: None) -> None:
    assert json.loads(client.get("/manifest.webmanifest").text)["name"] == "Levelpeg"


def test_the_version_changes_with_a_byte(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "favicon.svg").write_text("<svg/>")
    (tmp_path / "icons.svg").write_text("<svg/>")
    monkeypatch.setattr(shell, "STATIC", tmp_path)
    before = shell.shell_version.__wrapped__()
    (tmp_path / "icons.svg").write_text("<svg />")
    assert shell.shell_version.__wrapped__() != before
