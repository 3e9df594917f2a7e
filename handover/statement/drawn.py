"""A signature on the page, redrawn from its strokes: whole numbers only, so nothing else can get into the drawing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from handover.statement.models import Signature

# The sheet is a thousand units wide; its height is what the device gave it.
WIDTH, LEAST_HEIGHT, FOOT = 1000, 350, 20


@dataclass(frozen=True, slots=True)
class Signed:
    """`drawing` is empty where nothing was drawn; then `words` says signed, refused or absent, and `reason` why."""

    name: str
    at: datetime
    words: str
    reason: str
    drawing: SafeString


def signed(signature: Signature) -> Signed:
    is_drawn = signature.outcome == Signature.Outcome.SIGNED and bool(signature.strokes)
    return Signed(
        name=signature.name,
        at=signature.at,
        words=signature.get_outcome_display(),
        reason=signature.reason,
        drawing=strokes_svg(signature.strokes, name=signature.name) if is_drawn else SafeString(""),
    )


def strokes_svg(strokes: Sequence[Sequence[dict[str, int]]], *, name: str) -> SafeString:
    height = max([LEAST_HEIGHT, *(int(point["y"]) + FOOT for stroke in strokes for point in stroke)])
    lines = " ".join(_line([(int(point["x"]), int(point["y"])) for point in stroke]) for stroke in strokes if stroke)
    return format_html(
        '<svg viewBox="0 0 {} {}" role="img" aria-label="{}">'
        '<path class="ink" vector-effect="non-scaling-stroke" d="{}"/></svg>',
        WIDTH, height, _("Signature of %(name)s") % {"name": name}, lines,
    )  # fmt: skip


def _line(points: Sequence[tuple[int, int]]) -> str:
    """A tap is one point; a line to itself makes it a dot."""
    (x, y), *rest = points
    return f"M{x} {y}" + "".join(f"L{right} {down}" for right, down in rest or [(x, y)])
