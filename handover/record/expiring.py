"""That the certificate which seals Records ends soon, said where managers look."""

from datetime import UTC, date, datetime
from functools import lru_cache

from django.core.exceptions import ImproperlyConfigured
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.record.checks import DAYS_TO_RENEW
from handover.record.keys import days_left, sealing_key


def certificate_sentence(today: date) -> str:
    """Empty while it runs for a month or more. The key is opened once a day, not for every page."""
    remaining = seal_days_left(today)
    if remaining is None:
        return _("The key that seals Records cannot be used: no Record can be made. An administrator has to look.")
    if remaining >= DAYS_TO_RENEW:
        return ""
    if remaining < 0:
        return _("The certificate that seals Records has ended. Records made now will not be valid: have it renewed.")
    return ngettext(
        "The certificate that seals Records ends in %(days)s day. Have it renewed.",
        "The certificate that seals Records ends in %(days)s days. Have it renewed.",
        remaining,
    ) % {"days": remaining}


@lru_cache(maxsize=1)
def seal_days_left(today: date) -> int | None:
    """None for a key that cannot be opened. It is opened once a day."""
    try:
        with sealing_key() as signer:
            return days_left(signer.signing_cert, at=datetime.now(UTC))
    except ImproperlyConfigured:
        return None
