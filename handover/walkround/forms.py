"""From what a form posts to values of the actions; what cannot be read is said in one sentence."""

import json
import re
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

from django.core import signing
from django.db.models import TextChoices
from django.utils.translation import gettext as _

from handover.acting import CannotBe
from handover.walkround.actions.marking import MarkSeen
from handover.walkround.actions.pointing import Spot
from handover.walkround.fields import Fields

C = TypeVar("C", bound=TextChoices)
SHOWN_SALT = "topic.shown"
# A topic that lay on the screen over lunch was not read for an hour.
LONGEST_SECONDS = 3600
MEASURED = re.compile("[0-9]{1,6}")
SHA256 = re.compile("[0-9a-f]{64}")


def choice_of(fields: Fields, name: str, choices: type[C], *, usual: str = "") -> C:
    try:
        return choices(fields.get(name, usual))
    except ValueError as problem:
        words = ", ".join(str(label) for label in choices.labels)
        raise CannotBe(_("Press one of the answers: %(words)s.") % {"words": words}, name) from problem


def number_of(fields: Fields, name: str, offered: str = "") -> int | None:
    """A whole number; nothing typed takes what was offered; none means that it was not counted."""
    typed = fields.get(name).strip() or fields.get(offered).strip()
    return None if typed == "none" else whole(typed, name)


def whole(typed: str, name: str) -> int:
    """Raises CannotBe for what is no whole number."""
    try:
        return int(typed.replace("\u202f", "").replace("−", "-"))
    except ValueError as problem:
        said = _("“%(typed)s” is no whole number.") % {"typed": typed} if typed else _("Nothing is written here.")
        raise CannotBe(_("%(said)s Write figures only, such as 2.") % {"said": said}, name) from problem


def mark_seen(fields: Fields) -> MarkSeen:
    """A new mark as it was typed or tapped; without a place where it was tapped on a photo. Raises CannotBe."""
    is_placed = fields.get("x_mm").strip() and fields.get("y_mm").strip()
    return MarkSeen(
        kind=fields.get("kind"),
        part=fields.get("part"),
        place=fields.get("place"),
        size_mm=whole(fields.get("size_mm").strip(), "size_mm"),
        x_mm=whole(fields.get("x_mm").strip(), "x_mm") if is_placed else None,
        y_mm=whole(fields.get("y_mm").strip(), "y_mm") if is_placed else None,
    )


def spot_of(fields: Fields) -> Spot | None:
    """Where on a photo it was tapped; None where no photo is chosen. Raises CannotBe."""
    if not fields.get("photo").strip():
        return None
    try:
        photo = UUID(fields.get("photo").strip())
    except ValueError as problem:
        raise CannotBe(_("Choose one of the photos of this station."), "photo") from problem
    x, y = (whole(fields.get(name).strip(), name) for name in ("photo_x", "photo_y"))
    return Spot(photo, x, y)


def strokes_of(fields: Fields, name: str) -> list[Any]:
    """The strokes that a signature pad wrote as JSON. Raises CannotBe for anything else."""
    try:
        strokes = json.loads(fields.get(name) or "[]")
    except (ValueError, RecursionError) as problem:
        raise CannotBe(_("The signature did not arrive whole. Sign again."), name) from problem
    if not isinstance(strokes, list):
        raise CannotBe(_("The signature did not arrive whole. Sign again."), name)
    return strokes


def seconds_shown(fields: Fields, *, now: datetime) -> int | None:
    """As the tablet measured them while the topic could be seen; without that, since the page with it was given out.

    None when the page does not say when that was, with our signature.
    """
    measured = fields.get("seconds")
    if MEASURED.fullmatch(measured):
        return min(int(measured), LONGEST_SECONDS)
    try:
        shown_at = datetime.fromisoformat(signing.loads(fields.get("shown_at"), salt=SHOWN_SALT))
    except signing.BadSignature:
        return None
    return min(max(int((now - shown_at).total_seconds()), 0), LONGEST_SECONDS)


def sha256_of(fields: Fields, name: str) -> str:
    """Empty for what is no digest."""
    said = fields.get(name)
    return said if SHA256.fullmatch(said) else ""


def shown_stamp(now: datetime) -> str:
    return signing.dumps(now.isoformat(), salt=SHOWN_SALT)
