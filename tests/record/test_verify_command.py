"""python manage.py verify_record: one verdict, one exit code, never a traceback."""

import io
from pathlib import Path

import pytest
from django.core.management import call_command

from handover.record.demo_keys import ROOT


@pytest.fixture
def demo(settings, source):
    settings.VAR_DIR, settings.RECORD_PKCS12_FILE, settings.RECORD_PKCS11_MODULE = source.var_dir, "", ""
    settings.RECORD_ROOTS_FILE, settings.PRODUCTION = "", False


def told(*arguments: str) -> tuple[int, str]:
    out, wrong = io.StringIO(), io.StringIO()
    try:
        call_command("verify_record", *arguments, stdout=out, stderr=wrong)
    except SystemExit as end:
        return int(end.code or 0), out.getvalue() + wrong.getvalue()
    return 0, out.getvalue()


def kept(folder: Path, pdf: bytes) -> str:
    (folder / "record.pdf").write_bytes(pdf)
    return str(folder / "record.pdf")


def test_a_record_is_valid(demo, tmp_path, small):
    code, said = told(kept(tmp_path, small))
    assert code == 0
    assert said.endswith("Valid.\n")


def test_a_changed_record_is_not(demo, tmp_path, small):
    code, said = told(kept(tmp_path, small[:60] + b"?" + small[61:]))
    assert code == 1
    assert "The content was changed after sealing" in said
    assert said.endswith("Not valid.\n")


def test_a_root_can_be_named(demo, tmp_path, small, source):
    code, _ = told(kept(tmp_path, small), "--root", str(source.var_dir / "demo-keys" / ROOT))
    assert code == 0


@pytest.mark.parametrize("root", ["absent.pem", "hello.pem"])
def test_a_root_that_cannot_be_read_is_said(demo, tmp_path, small, root):
    (tmp_path / "hello.pem").write_text("hello")
    code, said = told(kept(tmp_path, small), "--root", str(tmp_path / root))
    assert code == 1
    assert said.startswith("Not checked: ")


def test_a_file_that_is_not_there_is_said(demo, tmp_path):
    code, said = told(str(tmp_path / "absent.pdf"))
    assert code == 1
    assert "absent.pdf" in said


def test_production_without_its_key_is_said(demo, settings, tmp_path, small):
    settings.PRODUCTION, settings.RECORD_PKCS12_FILE = True, str(tmp_path / "absent.p12")
    code, said = told(kept(tmp_path, small))
    assert code == 1
    assert "RECORD_PKCS12_FILE" in said
