"""The small stick of the Record: plain attributes and hex values, hatching as lines, readable in black and white."""

from decimal import Decimal

from consumables.dipstick.reading import DipInput, Position, Span, band, clipped, fringes, latest, scale
from fleet.drawing.shapes import HEX, element, number

HEIGHT, INSET, LEAN, APART = 40, 20.0, 5.0, 3.4
INK = HEX["ink"]


def stroke(width: str) -> dict[str, str]:
    return {"stroke": INK, "stroke-width": width}


def wet(dip: DipInput, x: Position) -> str:
    level = latest(dip)
    if not level:
        return ""
    fill = HEX["bracken-wash" if dip.back else "loch-wash"]
    return element("path", {"d": f"M16.4 11.7 H{number(x(level.value))} V28.3 H16.4 L5.2 20 Z", "fill": fill})


def hatched(left: float, right: float) -> str:
    """A white field with lines leaning right, none beyond its edges."""
    ground = {"x": number(left), "y": "11", "width": number(right - left), "height": "18", "fill": HEX["paper"]}
    starts = (left + i * APART for i in range(int((right - left) / APART) + 1))
    lines = (f"M{number(start)} 29 L{number(min(start + LEAN, right))} 11" for start in starts)
    hatch = element("path", {"d": " ".join(lines), "fill": "none"} | stroke("1"))
    return element("rect", ground | stroke(".8")) + hatch


def solid(span: Span, x: Position) -> str:
    left, right = x(span[0]), x(span[1])
    field = {"x": number(left), "y": "11", "width": number(right - left), "height": "18", "fill": HEX["gorse"]}
    return element("rect", field | stroke("1"))


def flag(value: Decimal, x: Position, *, is_pickup: bool) -> str:
    """A triangle: how it left points down from above, how it came back points up from below."""
    tip, rise, fill = ("14", "-9", "loch") if is_pickup else ("26", "9", "bracken")
    return element("path", {"d": f"M{number(x(value))} {tip} l-6 {rise} h12 Z", "fill": HEX[fill]})


def ticks(dip: DipInput, x: Position) -> str:
    d = " ".join(f"M{number(x(tick.at))} 11 v5 M{number(x(tick.at))} 29 v-5" for tick in dip.major)
    return element("path", {"d": d, "fill": "none"} | stroke("1")) if d else ""


def print_svg(dip: DipInput, *, width: int = 150) -> str:
    """A lying stick 40 high without words; the values stand beside it in the table."""
    x = scale(dip, INSET, width - 10)
    blade = {"d": f"M16 11 H{width - 5} V29 H16 L4 20 Z", "fill": HEX["paper"]} | stroke("1.4")
    counts = band(dip)
    parts = [element("path", blade), wet(dip, x), solid(counts, x) if counts else ""]
    parts += [hatched(x(low), x(high)) for low, high in (clipped(dip, span) for span in fringes(dip))]
    parts += [ticks(dip, x), flag(dip.pickup.value, x, is_pickup=True) if dip.pickup else ""]
    parts += [flag(dip.back.value, x, is_pickup=False) if dip.back else ""]
    size = {"width": str(width), "height": str(HEIGHT), "viewBox": f"0 0 {width} {HEIGHT}"}
    named = {"xmlns": "http://www.w3.org/2000/svg", "role": "img", "aria-label": dip.label}
    return element("svg", named | size, "".join(parts))
