"""What Django checks before it runs: the sealing key is the operator's own and has not run out."""

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from django.core.checks import CheckMessage, Error, register
from django.core.checks import Warning as Caution
from django.core.exceptions import ImproperlyConfigured

from handover.record.key_source import key_source, require_own_key

DAYS_TO_RENEW = 30


@register()
def own_sealing_key(app_configs: Sequence[Any] | None, **kwargs: Any) -> list[CheckMessage]:
    """levelpeg.E001: production must not seal with the demo key."""
    try:
        require_own_key(key_source())
    except ImproperlyConfigured as refusal:
        return [Error(str(refusal), id="levelpeg.E001")]
    return []


@register(deploy=True)
def sealing_certificate_runs_on(app_configs: Sequence[Any] | None, **kwargs: Any) -> list[CheckMessage]:
    """levelpeg.E002: the key cannot be used; levelpeg.W001: its certificate ends soon or has ended."""
    from handover.record import keys  # noqa: PLC0415 pyHanko takes most of a second to import

    try:
        with keys.sealing_key() as signer:
            remaining = keys.days_left(signer.signing_cert, at=datetime.now(UTC))
    except ImproperlyConfigured as fault:
        return [Error(str(fault), id="levelpeg.E002")]
    if remaining >= DAYS_TO_RENEW:
        return []
    said = f"ends in {remaining} days" if remaining >= 0 else f"ended {-remaining} days ago"
    return [Caution(f"The certificate that seals records {said}. Have it renewed.", id="levelpeg.W001")]
