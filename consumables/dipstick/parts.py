"""What upright and lying sticks share: hatching, graduations, the doubt."""

from collections.abc import Callable
from decimal import Decimal

from consumables.dipstick.reading import DipInput, Span, band, clipped, fringes
from fleet.drawing.shapes import element


def hatching(key: str) -> str:
    whole = element("rect", {"class": "hatch-gap", "width": "7", "height": "7"})
    bar = element("rect", {"class": "hatch-bar", "width": "2.6", "height": "7"})
    tile = {"id": f"hatch-{key}", "width": "7", "height": "7", "patternUnits": "userSpaceOnUse"}
    return element("defs", {}, element("pattern", tile | {"patternTransform": "rotate(45)"}, whole + bar))


def graduations(dip: DipInput, mark: Callable[[Decimal, bool], str]) -> str:
    """Ticks of both edges; those upon the band in its own ink. `mark` gives the path data of one, major or fine."""
    counts = band(dip)
    drawn = []
    for place, is_major in [*((tick.at, True) for tick in dip.major), *((value, False) for value in dip.minor)]:
        on = " on" if counts and counts[0] <= place <= counts[1] else ""
        kind = f"tick{'' if is_major else ' fine'}{on}"
        drawn.append(element("path", {"class": kind, "d": mark(place, is_major)}))
    return "".join(drawn)


def doubt(dip: DipInput, box: Callable[[Span], dict[str, str]]) -> str:
    """Band and fringes; `box` gives the rectangle of a span on the blade."""
    counts = band(dip)
    parts = [element("rect", {"class": "band"} | box(counts))] if counts else []
    look = {"class": "fringe", "fill": f"url(#hatch-{dip.key})"}
    parts += [element("rect", look | box(clipped(dip, span))) for span in fringes(dip)]
    return element("g", {"class": "doubt"}, "".join(parts)) if parts else ""
