"""Where the sealing key comes from, and that nobody else can read the demo's."""

import stat
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, load_pem_private_key, pkcs12
from django.core.exceptions import ImproperlyConfigured

from handover.record.demo_keys import ROOT, ROOT_KEY, SEAL, SEAL_KEY, demo_keys, write_private
from handover.record.key_source import key_source, require_own_key
from handover.record.keys import days_left, read_certificates, sealing_key, trusted_roots
from tests.record.conftest import demo_source


@pytest.fixture
def folder(source) -> Path:
    return demo_keys(source.var_dir / "demo-keys")


def test_only_the_owner_reads_the_demo_keys(folder):
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert {stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()} == {0o600}


def test_the_demo_keys_are_made_once(folder):
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    demo_keys(folder)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    assert set(before) == {ROOT, ROOT_KEY, SEAL, SEAL_KEY}


def test_eight_that_start_together_end_with_one_whole_set(tmp_path):
    with ThreadPoolExecutor(8) as pool:
        folders = list(pool.map(demo_keys, [tmp_path / "var" / "demo-keys"] * 8))
    assert [path.name for path in folders[0].parent.iterdir()] == ["demo-keys"]
    key, certificate = (folders[0] / SEAL_KEY).read_bytes(), (folders[0] / SEAL).read_bytes()
    made = load_pem_private_key(key, None).public_key()
    assert made == x509.load_pem_x509_certificate(certificate).public_key()


def test_a_private_file_is_never_written_over(tmp_path):
    write_private(tmp_path / "key", b"first")
    with pytest.raises(FileExistsError):
        write_private(tmp_path / "key", b"second")
    assert (tmp_path / "key").read_bytes() == b"first"


def test_a_private_file_does_not_follow_a_link(tmp_path):
    (tmp_path / "key").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(FileExistsError):
        write_private(tmp_path / "key", b"secret")
    assert not (tmp_path / "elsewhere").exists()


def test_the_demo_seals_with_p256_under_its_own_root(signer, roots):
    assert signer.signing_cert.public_key.curve == ("named", "secp256r1")
    assert signer.signing_cert.issuer == roots[0].subject
    assert "Larkmoor Campers demo" in roots[0].subject.human_friendly


def test_production_refuses_the_demo_key(tmp_path):
    with (
        pytest.raises(ImproperlyConfigured, match="RECORD_PKCS12_FILE"),
        sealing_key(demo_source(tmp_path, production=True)),
    ):
        pass
    assert not (tmp_path / "demo-keys").exists()


def test_production_accepts_a_named_key(tmp_path):
    require_own_key(demo_source(tmp_path, production=True, PKCS12_FILE="own.p12"))


def own_file(folder: Path, where: Path, passphrase: bytes) -> Path:
    key = load_pem_private_key((folder / SEAL_KEY).read_bytes(), None)
    seal, root = (x509.load_pem_x509_certificate((folder / name).read_bytes()) for name in (SEAL, ROOT))
    where.write_bytes(
        pkcs12.serialize_key_and_certificates(b"seal", key, seal, [root], BestAvailableEncryption(passphrase))
    )
    return where


def test_a_pkcs12_file_seals_and_says_its_root(folder, tmp_path, roots):
    file = own_file(folder, tmp_path / "own.p12", b"heather")
    own = demo_source(tmp_path, production=True, PKCS12_FILE=str(file), PKCS12_PASSPHRASE="heather")
    with sealing_key(own) as signer:
        assert signer.signing_cert.dump() == read_certificates(folder / SEAL)[0].dump()
    assert [root.dump() for root in trusted_roots(own)] == [roots[0].dump()]


@pytest.mark.parametrize("passphrase", ["", "gorse"])
def test_a_wrong_passphrase_names_the_setting(folder, tmp_path, passphrase):
    file = own_file(folder, tmp_path / "own.p12", b"heather")
    own = demo_source(tmp_path, PKCS12_FILE=str(file), PKCS12_PASSPHRASE=passphrase)
    with pytest.raises(ImproperlyConfigured, match="RECORD_PKCS12_FILE"), sealing_key(own):
        pass


def test_a_named_roots_file_is_what_counts(folder, tmp_path, roots):
    own = demo_source(tmp_path, PKCS12_FILE="not-read.p12", ROOTS_FILE=str(folder / ROOT))
    assert [root.dump() for root in trusted_roots(own)] == [roots[0].dump()]


def test_production_without_a_key_trusts_nobody_and_makes_no_demo_key(tmp_path):
    assert trusted_roots(demo_source(tmp_path, production=True)) == []
    assert list(tmp_path.iterdir()) == []


def test_a_token_without_its_package_says_so(tmp_path):
    own = demo_source(tmp_path, PKCS11_MODULE="/no/module.so")
    with pytest.raises(ImproperlyConfigured, match="python-pkcs11"), sealing_key(own):
        pass


def test_a_file_without_a_certificate_says_so(tmp_path):
    (tmp_path / "ca.pem").write_text("hello")
    with pytest.raises(ValueError, match="BEGIN CERTIFICATE"):
        read_certificates(tmp_path / "ca.pem")


@pytest.mark.parametrize(("ahead", "left"), [(timedelta(0), 0), (timedelta(days=30), -30), (timedelta(days=-5), 5)])
def test_days_left_of_a_certificate(signer, ahead, left):
    ends = signer.signing_cert.not_valid_after
    assert days_left(signer.signing_cert, at=ends + ahead) == left


def test_the_demo_certificate_lasts_a_season(signer):
    assert days_left(signer.signing_cert, at=datetime.now(UTC)) > 365


def test_settings_name_the_key(settings, tmp_path):
    settings.VAR_DIR, settings.RECORD_PKCS12_FILE, settings.PRODUCTION = tmp_path, "own.p12", True
    assert key_source().values["PKCS12_FILE"] == "own.p12"
    assert key_source().production
    assert not key_source().is_demo
