"""What Django's check says about the sealing key."""

import pytest

from handover.record import checks
from handover.record.demo_keys import SEAL
from handover.record.keys import read_certificates


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
def test_a_certificate_about_to_end_warns(demo, source, monkeypatch, days, said):
    read_certificates(source.var_dir / "demo-keys" / SEAL)
    monkeypatch.setattr(checks, "days_left", lambda certificate, at: days)
    (warning,) = checks.sealing_certificate_runs_on(None)
    assert warning.id == "levelpeg.W001"
    assert said in warning.msg
