"""What a tablet says about a photo beside its bytes: their digest when it was taken, and when that was."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _

from handover.acting import CannotBe
from handover.walkround.fields import Fields
from shared.canonical import sha256_hex

# A tablet whose clock was never set says 1970; a photo is not older than a rental can be.
OLDEST = timedelta(days=400)


@dataclass(frozen=True, slots=True)
class Sent:
    """taken_at is by the tablet's clock, aware; skew_ms is how far that clock was ahead of the server's."""

    sha256: str = ""
    taken_at: datetime | None = None
    skew_ms: int | None = None

    def check(self, data: bytes) -> None:
        """Raises CannotBe where the bytes are not those the tablet had in hand when the photo was taken."""
        if self.sha256 and self.sha256 != sha256_hex(data):
            raise CannotBe(
                _("This photo changed on its way: it is not the one that was taken. Nothing was kept. Send it again."),
                "photo",
            )

    def by_our_clock(self) -> datetime | None:
        """When it was taken; None where the tablet's clock cannot be right."""
        if self.taken_at is None:
            return None
        then, now = self.taken_at - timedelta(milliseconds=self.skew_ms or 0), timezone.now()
        return min(then, now) if now - then < OLDEST else None


NOTHING_SAID = Sent()


def sent_of(fields: Fields, *, skew_ms: int | None = None) -> Sent:
    """What cannot be read counts as not said: a photo is not lost over it."""
    try:
        taken_at = parse_datetime(fields.get("taken_at"))
    except ValueError:
        taken_at = None
    known = taken_at if taken_at and timezone.is_aware(taken_at) else None
    return Sent(fields.get("sha256").strip().lower(), known, skew_ms)
