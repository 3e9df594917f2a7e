"""What Django's check says about the sealing key."""

import subprocess
import sys

import pytest

from handover.record import checks, keys
from shared.settings import BASE_DIR


@pytest.fixture
def demo(settings, source):
    settings.VAR_DIR, settings.RECORD_PKCS12_FILE, settings.RECORD_PKCS11_MODULE = source.var_dir, "", ""
    settings.RECORD_ROOTS_FILE, settings.PRODUCTION = "", False
    return settings


def test_a_demo_may_use_the_demo_key(demo):
    assert checks.own_sealing_key(None) == []


def test_production_with_the_demo_key_does_not_start(demo):
    demo.PRODUCTION = True
    (error,) = checks.own_sealing_key(None)
    assert error.id == "levelpeg.E001"
    assert error.is_serious()
    assert "proves nothing" in error.msg


def test_a_key_that_cannot_be_opened_is_an_error(demo, tmp_path):
    demo.RECORD_PKCS12_FILE = str(tmp_path / "absent.p12")
    (error,) = checks.sealing_certificate_runs_on(None)
    assert error.id == "levelpeg.E002"
    assert "RECORD_PKCS12_FILE" in error.msg


def test_a_fresh_certificate_is_quiet(demo):
    assert checks.sealing_certificate_runs_on(None) == []


@pytest.mark.parametrize(("days", "said"), [(12, "ends in 12 days"), (-3, "ended 3 days ago")])
def test_a_certificate_about_to_end_warns(demo, monkeypatch, days, said):
    monkeypatch.setattr(keys, "days_left", lambda certificate, at: days)
    (warning,) = checks.sealing_certificate_runs_on(None)
    assert warning.id == "levelpeg.W001"
    assert said in warning.msg


def test_the_start_up_check_does_not_load_the_signing_libraries():
    """Every command would start most of a second later."""
    loads = "import sys; from handover.record import checks; print('pyhanko' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", loads], capture_output=True, text=True, check=True, cwd=BASE_DIR)
    assert done.stdout == "False\n"
