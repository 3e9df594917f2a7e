"""The lying stick: its point at empty; Pickup's flag above and pointing down, Return's below and pointing up."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from consumables.dipstick.parts import doubt, graduations, hatching
from consumables.dipstick.reading import DipInput, Grade, Level, Position, Span, latest, scale
from fleet.drawing.shapes import element, number, text

EMPTY_X, FULL_INSET = 34.0, 26.0


@dataclass(frozen=True)
class Lying:
    """Places of a lying stick: its size, the edges of the blade, and where a value lies."""

    width: int
    top: float
    bottom: float
    x: Position

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2

    def box(self, span: Span) -> dict[str, str]:
        left, right = self.x(span[0]), self.x(span[1])
        sides = {"x": left, "y": self.top + 1.3, "width": right - left, "height": self.bottom - self.top - 2.6}
        return {name: number(value) for name, value in sides.items()}

    def tick(self, value: Decimal, grade: Grade) -> str:
        x, reach = number(self.x(value)), 9 if grade == "major" else 5
        return f"M{x} {number(self.top)} v{reach} M{x} {number(self.bottom)} v-{reach}"


def blade(stick: Lying) -> str:
    top, bottom, right = number(stick.top), number(stick.bottom), stick.width - 12
    end, low = number(stick.top + 6), number(stick.bottom - 6)
    d = (f"M26 {top} H{right - 6} Q{right} {top} {right} {end} V{low} Q{right} {bottom} {right - 6} {bottom}"
         f" H26 L10 {number(stick.middle)} Z")  # fmt: skip
    return element("path", {"class": "blade", "d": d})


def wet(dip: DipInput, stick: Lying) -> str:
    level = latest(dip)
    if not level:
        return ""
    x, top, bottom = number(stick.x(level.value)), number(stick.top + 1.3), number(stick.bottom - 1.3)
    d = f"M{x} {top} H26.5 L11.7 {number(stick.middle)} L26.5 {bottom} H{x} Z"
    return element("path", {"class": "wet came" if dip.back else "wet", "d": d})


def flag_span(level: Level, stick: Lying) -> tuple[float, float]:
    """Left and right end of a flag: centred on its value, but never beyond the drawing."""
    width = 18 + 9.6 * max(len(level.flag), 3)
    left = min(max(stick.x(level.value) - width / 2, 0), stick.width - width)
    return left, left + width


def flag(side: Literal["out", "back"], level: Level, stick: Lying) -> str:
    left, right = flag_span(level, stick)
    edge, down = (stick.top, 1) if side == "out" else (stick.bottom, -1)
    far, near, tip, x = edge - 33 * down, edge - 7 * down, edge + 5 * down, stick.x(level.value)
    point = f"H{number(min(x + 9, right))} L{number(x)} {number(tip)} L{number(max(x - 9, left))} {number(near)}"
    d = f"M{number(left)} {number(far)} H{number(right)} V{number(near)} {point} H{number(left)} Z"
    words = {"class": f"{side}-t", "x": number(left + 9), "y": number(edge - 14 if side == "out" else edge + 26)}
    return element("g", {"data-part": side}, element("path", {"class": side, "d": d}) + text(level.flag, words))


def flags(dip: DipInput, stick: Lying) -> str:
    above = flag("out", dip.pickup, stick) if dip.pickup else ""
    return above + (flag("back", dip.back, stick) if dip.back else "")


def is_covered(x: float, dip: DipInput, stick: Lying) -> bool:
    if not dip.back:
        return False
    left, right = flag_span(dip.back, stick)
    return left - 14 < x < right + 14


def labels(dip: DipInput, stick: Lying) -> str:
    """Words of the scale, below; one that lies behind the return flag is left out."""
    shown = (tick for tick in dip.major if tick.label and not is_covered(stick.x(tick.at), dip, stick))
    y = number(stick.bottom + 20)
    return "".join(text(tick.label, {"class": "no m", "x": number(stick.x(tick.at)), "y": y}) for tick in shown)


def ghost(dip: DipInput, stick: Lying) -> str:
    if dip.ghost is None or latest(dip):
        return ""
    return element("path", {"class": "ghost", "d": f"M{number(stick.x(dip.ghost))} {number(stick.top - 2)} v-24"})


def lying_svg(dip: DipInput, *, width: int = 334, height: int = 100) -> str:
    """The stick of a row, a Statement (296 by 120) or a phone (350 by 108). Never a slider: the stepper sets it."""
    half = 18 if height >= 120 else 17
    stick = Lying(width, height / 2 - half, height / 2 + half, scale(dip, EMPTY_X, width - FULL_INSET))
    parts = [hatching(dip.key), blade(stick), wet(dip, stick), doubt(dip, stick.box), graduations(dip, stick.tick),
             labels(dip, stick), ghost(dip, stick), flags(dip, stick)]  # fmt: skip
    view = {"class": "dip", "width": str(width), "height": str(height), "viewBox": f"0 0 {width} {height}"}
    return element("svg", view | {"role": "img", "aria-label": dip.label}, "".join(parts))
