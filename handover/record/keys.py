"""The key that seals: a PKCS#12 file's, a PKCS#11 token's, or (never in production) the demo's own."""

from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

from asn1crypto import pem, x509
from django.core.exceptions import ImproperlyConfigured
from pyhanko.config.pkcs11 import PKCS11SignatureConfig, TokenCriteria
from pyhanko.keys import load_certs_from_pemder_data
from pyhanko.sign.signers import Signer, SimpleSigner

from handover.record.demo_keys import ROOT, SEAL, SEAL_KEY, demo_keys
from handover.record.key_source import KeySource, key_source, require_own_key

UNUSABLE = "The token that RECORD_PKCS11_MODULE names cannot be used"


@contextmanager
def sealing_key(source: KeySource | None = None) -> Iterator[Signer]:
    """The signer for one or more seals; a token's session is closed afterwards.

    Raises ImproperlyConfigured when the key cannot be used, with the setting at fault.
    """
    source = source or key_source()
    require_own_key(source)
    if source.values["PKCS11_MODULE"] and not source.values["PKCS12_FILE"]:
        with _token(source) as signer:
            yield signer
    else:
        yield _pkcs12_signer(source) if source.values["PKCS12_FILE"] else _demo_signer(source)


def trusted_roots(source: KeySource | None = None) -> list[x509.Certificate]:
    """The operator's root certificates: what a seal must lead to. Empty when the settings name none."""
    source = source or key_source()
    if source.values["ROOTS_FILE"]:
        return read_certificates(Path(source.values["ROOTS_FILE"]))
    if source.is_demo and not source.production:
        return read_certificates(demo_keys(source.var_dir / "demo-keys") / ROOT)
    if source.values["PKCS12_FILE"]:
        return [certificate for certificate in _pkcs12_signer(source).cert_registry if certificate.self_issued]
    return []


def read_certificates(path: Path) -> list[x509.Certificate]:
    """Every certificate of a PEM or DER file. Raises OSError, or ValueError when it holds none."""
    data = path.read_bytes()
    if not pem.detect(data) and not data.startswith(b"\x30"):
        raise ValueError(f"{path} holds no certificate. A PEM file begins with -----BEGIN CERTIFICATE-----.")
    return list(load_certs_from_pemder_data(data))


def days_left(certificate: x509.Certificate, *, at: datetime) -> int:
    """Whole days from `at` (with a zone) until the certificate ends; negative when it has ended."""
    ends: datetime = certificate.not_valid_after
    return (ends - at).days


def _demo_signer(source: KeySource) -> SimpleSigner:
    folder = demo_keys(source.var_dir / "demo-keys")
    signer = SimpleSigner.load(folder / SEAL_KEY, folder / SEAL, ca_chain_files=(folder / ROOT,))  # type: ignore[no-untyped-call]
    return _usable(signer, "VAR_DIR")


def _pkcs12_signer(source: KeySource) -> SimpleSigner:
    passphrase = source.values["PKCS12_PASSPHRASE"].encode() or None
    signer = SimpleSigner.load_pkcs12(source.values["PKCS12_FILE"], passphrase=passphrase)  # type: ignore[no-untyped-call]
    return _usable(signer, "RECORD_PKCS12_FILE")


def _usable(signer: SimpleSigner | None, setting: str) -> SimpleSigner:
    """pyHanko answers None, not an error, for a wrong passphrase or an unreadable file."""
    if signer is None:
        raise ImproperlyConfigured(
            f"The key that {setting} names cannot be opened: the file is not there, is not a key, "
            "or has another passphrase."
        )
    return signer


@contextmanager
def _token(source: KeySource) -> Iterator[Signer]:
    with ExitStack() as session:
        try:
            signer: Signer = session.enter_context(_token_context()(_token_config(source.values)))
            found = signer.signing_cert is not None
        except Exception as fault:  # the errors of the optional package cannot be named here
            raise ImproperlyConfigured(f"{UNUSABLE}: {fault}") from fault
        if not found:
            raise ImproperlyConfigured(f"{UNUSABLE}: it holds no certificate named RECORD_PKCS11_KEY")
        yield signer


def _token_context() -> Any:
    try:
        from pyhanko.sign.pkcs11 import PKCS11SigningContext  # noqa: PLC0415 its package is optional
    except ImportError as absent:
        raise ImproperlyConfigured(
            "RECORD_PKCS11_MODULE needs the Python package python-pkcs11, which is not installed."
        ) from absent
    return PKCS11SigningContext


def _token_config(values: Mapping[str, str]) -> PKCS11SignatureConfig:
    return PKCS11SignatureConfig(
        module_path=values["PKCS11_MODULE"],
        token_criteria=TokenCriteria(label=values["PKCS11_TOKEN"]),
        cert_label=values["PKCS11_KEY"],
        key_label=values["PKCS11_KEY"],
        user_pin=values["PKCS11_PIN"],
        other_certs=read_certificates(Path(values["ROOTS_FILE"])) if values["ROOTS_FILE"] else [],
        other_certs_to_pull=(),
        # Many tokens sign a digest but cannot make one.
        raw_mechanism=True,
    )
