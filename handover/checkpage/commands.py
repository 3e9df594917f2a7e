"""The commands by which anyone checks a Record without this program: the ones that README prints, from one place."""

from functools import cache
from pathlib import Path

from asn1crypto import pem
from django.conf import settings

from handover.record.keys import trusted_roots


@cache
def commands() -> str:
    """As they are typed, one a line. A test holds them to README, and another runs README's."""
    return (Path(settings.BASE_DIR) / "templates" / "check" / "commands.sh").read_text(encoding="utf-8")


def root_certificates() -> bytes:
    """The operator's root certificates as PEM: what a seal must lead to."""
    return b"".join(pem.armor("CERTIFICATE", root.dump()) for root in trusted_roots())
