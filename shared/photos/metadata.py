"""The two things kept of what a camera writes beside the picture: which way is up, and when it was taken."""

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from PIL import Image

ORIENTATION, DATE_TIME, OFFSET = 0x0112, 0x0132, 0x9010
EXIF_BLOCK, ORIGINAL_DATE_TIME, ORIGINAL_OFFSET = 0x8769, 0x9003, 0x9011
TIME = re.compile(r"\d{4}:\d\d:\d\d \d\d:\d\d:\d\d")
ZONE = re.compile(r"[+-]\d\d:\d\d")


@dataclass(frozen=True, slots=True)
class Metadata:
    """orientation is EXIF's 1 to 8 (5 to 8 lie on a side); time and offset are EXIF's own texts, empty when absent."""

    orientation: int = 1
    time: str = ""
    offset: str = ""

    @property
    def on_a_side(self) -> bool:
        return self.orientation >= 5

    def block(self) -> bytes:
        """An "Exif" block of these alone; empty when there is nothing to say."""
        exif = Image.Exif()
        if self.orientation != 1:
            exif[ORIENTATION] = self.orientation
        if self.time:
            exif[EXIF_BLOCK] = {ORIGINAL_DATE_TIME: self.time} | ({ORIGINAL_OFFSET: self.offset} if self.offset else {})
        return exif.tobytes() if len(exif) else b""

    def taken_at(self, zone: str | None) -> datetime | None:
        """When the camera says it took the picture, in UTC: by the offset it states, else by its clock in zone.

        None when it states no time, or no offset and there is no zone to read its clock in.
        """
        try:
            if self.offset:
                return datetime.strptime(self.time + self.offset, "%Y:%m:%d %H:%M:%S%z").astimezone(UTC)
            wall = datetime.strptime(self.time, "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007 - the camera's clock names no zone
            return wall.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC) if zone else None
        except (ValueError, OverflowError):  # 0000:00:00 00:00:00 is how cameras write a clock that was never set
            return None


def metadata_of(exif: Image.Exif) -> Metadata:
    """What is kept of a camera's EXIF; what is not well-formed counts as absent."""
    inner = exif.get_ifd(EXIF_BLOCK)
    time = _text(inner.get(ORIGINAL_DATE_TIME), TIME)
    offset = _text(inner.get(ORIGINAL_OFFSET), ZONE)
    if not time:
        time, offset = _text(exif.get(DATE_TIME), TIME), _text(inner.get(OFFSET), ZONE)
    side = exif.get(ORIENTATION)
    orientation = side if isinstance(side, int) and 1 <= side <= 8 else 1
    return Metadata(orientation, time, offset if time else "")


def _text(value: Any, pattern: re.Pattern[str]) -> str:
    return value if isinstance(value, str) and pattern.fullmatch(value) else ""
