"""What the settings say about the sealing key. Knows nothing of signing, so that a start-up check costs nothing.

Read here, all text, all optional: RECORD_PKCS12_FILE with RECORD_PKCS12_PASSPHRASE; RECORD_PKCS11_MODULE with _TOKEN,
_KEY (the label of key and certificate) and _PIN; RECORD_ROOTS_FILE (PEM: the operator's root certificates, where
the PKCS#12 file does not hold them). Also VAR_DIR and PRODUCTION.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

NAMES = ("PKCS12_FILE", "PKCS12_PASSPHRASE", "PKCS11_MODULE", "PKCS11_TOKEN", "PKCS11_KEY", "PKCS11_PIN", "ROOTS_FILE")
DEMO_KEY_REFUSED = (
    "Records would be sealed with the demo key, which proves nothing. Name the operator's own key: "
    "RECORD_PKCS12_FILE with RECORD_PKCS12_PASSPHRASE, or RECORD_PKCS11_MODULE with RECORD_PKCS11_TOKEN, "
    "RECORD_PKCS11_KEY and RECORD_PKCS11_PIN."
)


@dataclass(frozen=True)
class KeySource:
    """What the settings say about the key. `values` has NAMES as keys; absent ones are empty text."""

    values: Mapping[str, str]
    var_dir: Path
    production: bool

    @property
    def is_demo(self) -> bool:
        return not (self.values["PKCS12_FILE"] or self.values["PKCS11_MODULE"])


def key_source() -> KeySource:
    values = {name: str(getattr(settings, f"RECORD_{name}", "") or "") for name in NAMES}
    return KeySource(values, Path(settings.VAR_DIR), bool(getattr(settings, "PRODUCTION", False)))


def require_own_key(source: KeySource) -> None:
    """Raises ImproperlyConfigured where production would seal with the demo key."""
    if source.production and source.is_demo:
        raise ImproperlyConfigured(DEMO_KEY_REFUSED)
