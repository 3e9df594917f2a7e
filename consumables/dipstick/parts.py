"""What upright and lying sticks share: hatching, graduations, the doubt."""

from collections.abc import Callable, Iterator
from decimal import Decimal

from consumables.dipstick.reading import DipInput, Grade, Span, band, clipped, fringes
from fleet.drawing.shapes import element


def hatching(key: str) -> str:
    whole = element("rect", {"class": "hatch-gap", "width": "7", "height": "7"})
    bar = element("rect", {"class": "hatch-bar", "width": "2.6", "height": "7"})
    tile = {"id": f"hatch-{key}", "width": "7", "height": "7", "patternUnits": "userSpaceOnUse"}
    return element("defs", {}, element("pattern", tile | {"patternTransform": "rotate(45)"}, whole + bar))


def graded(dip: DipInput) -> Iterator[tuple[Decimal, Grade]]:
    for tick in dip.major:
        yield tick.at, "major"
    for place in dip.minor:
        yield place, "fine"


def graduations(dip: DipInput, mark: Callable[[Decimal, Grade], str]) -> str:
    """Ticks of both edges; those upon the band in its own ink. `mark` gives the path data of one."""
    counts = band(dip)
    drawn = []
    for place, grade in graded(dip):
        on = " on" if counts and counts[0] <= place <= counts[1] else ""
        kind = f"tick{'' if grade == 'major' else ' fine'}{on}"
        drawn.append(element("path", {"class": kind, "d": mark(place, grade)}))
    return "".join(drawn)


def doubt(dip: DipInput, box: Callable[[Span], dict[str, str]]) -> str:
    """Band and fringes; `box` gives the rectangle of a span on the blade."""
    counts = band(dip)
    parts = [element("rect", {"class": "band"} | box(counts))] if counts else []
    look = {"class": "fringe", "fill": f"url(#hatch-{dip.key})"}
    parts += [element("rect", look | box(clipped(dip, span))) for span in fringes(dip)]
    return element("g", {"class": "doubt"}, "".join(parts)) if parts else ""
