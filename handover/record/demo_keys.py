"""The demo's own certificate authority and sealing key, made on first run and never fit for production."""

import os
import secrets
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.x509.oid import NameOID

ROOT, ROOT_KEY, SEAL, SEAL_KEY = "ca.pem", "ca-key.pem", "seal.pem", "seal-key.pem"
OPERATOR = "Larkmoor Campers demo"
CA_DAYS, SEAL_DAYS = 3660, 1096


def demo_keys(folder: Path) -> Path:
    """The folder holding ca.pem, ca-key.pem, seal.pem and seal-key.pem; made if it is not there.

    Written beside its place and renamed into it: two processes that start together end with one
    whole set, and nobody ever sees half of one.
    """
    if not (folder / SEAL_KEY).exists():
        folder.parent.mkdir(parents=True, exist_ok=True)
        _put_in_place(folder)
    return folder


def _put_in_place(folder: Path) -> None:
    draft = folder.with_name(f"{folder.name}.{secrets.token_hex(6)}")
    draft.mkdir(mode=0o700)
    try:
        for name, content in _key_set(datetime.now(UTC)).items():
            write_private(draft / name, content)
        draft.rename(folder)
    except OSError:
        if not (folder / SEAL_KEY).exists():
            raise
    finally:
        shutil.rmtree(draft, ignore_errors=True)


def write_private(path: Path, content: bytes) -> None:
    """A new file only its owner may read. Raises FileExistsError rather than follow or overwrite."""
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)


def _key_set(now: datetime) -> dict[str, bytes]:
    ca_key, seal_key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())
    ca = _authority(ca_key, now)
    return {
        ROOT: ca.public_bytes(Encoding.PEM),
        ROOT_KEY: _pem(ca_key),
        SEAL: _sealing_certificate(seal_key, ca, ca_key, now).public_bytes(Encoding.PEM),
        SEAL_KEY: _pem(seal_key),
    }


def _pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())


def _name(common: str) -> x509.Name:
    return x509.Name(
        [x509.NameAttribute(NameOID.ORGANIZATION_NAME, OPERATOR), x509.NameAttribute(NameOID.COMMON_NAME, common)]
    )


def _builder(subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
    )


def _authority(key: ec.EllipticCurvePrivateKey, now: datetime) -> x509.Certificate:
    name = _name(f"{OPERATOR} authority")
    builder = _builder(name, name, key.public_key())
    builder = builder.not_valid_before(now - timedelta(hours=1)).not_valid_after(now + timedelta(days=CA_DAYS))
    builder = builder.add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
    return builder.add_extension(_usage(authority=True), critical=True).sign(key, SHA256())


def _sealing_certificate(
    key: ec.EllipticCurvePrivateKey, ca: x509.Certificate, ca_key: ec.EllipticCurvePrivateKey, now: datetime
) -> x509.Certificate:
    authority_id = x509.AuthorityKeyIdentifier.from_issuer_public_key(ca_key.public_key())
    builder = _builder(_name(f"{OPERATOR}, seal of records"), ca.subject, key.public_key())
    builder = builder.not_valid_before(now - timedelta(hours=1)).not_valid_after(now + timedelta(days=SEAL_DAYS))
    builder = builder.add_extension(authority_id, critical=False)
    builder = builder.add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
    return builder.add_extension(_usage(authority=False), critical=True).sign(ca_key, SHA256())


def _usage(*, authority: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not authority,
        content_commitment=not authority,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=authority,
        crl_sign=authority,
        encipher_only=False,
        decipher_only=False,
    )
