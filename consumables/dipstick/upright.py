"""The upright stick of a Station: ring on top, point below; Pickup's flag on the left, Return's on the right."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from consumables.dipstick.parts import doubt, graduations, hatching
from consumables.dipstick.reading import DipInput, Grade, Level, Position, Span, latest, scale
from fleet.drawing.shapes import element, number, text

Side = Literal["out", "back"]
UNSET = "00.0"
"""Keeps the place of a flag that is not set yet."""
HALF_BLADE = 22.0
UPRIGHT_TOP = 56.0
SHOULDER, TIP, BOTTOM = 24.0, 6.0, 30.0
"""From the foot of the drawing: where the blade narrows, its point, and empty."""


@dataclass(frozen=True)
class Upright:
    """Places of an upright stick: the middle of its blade, the height of the drawing, and where a value lies."""

    cx: float
    height: int
    y: Position

    def across(self, offset: float) -> str:
        return number(self.cx + offset)

    def box(self, span: Span) -> dict[str, str]:
        top, bottom = self.y(span[1]), self.y(span[0])
        sides = {"x": self.cx - HALF_BLADE + 1.3, "y": top, "width": 2 * HALF_BLADE - 2.6, "height": bottom - top}
        return {name: number(value) for name, value in sides.items()}

    def tick(self, value: Decimal, grade: Grade) -> str:
        y, reach = number(self.y(value)), 10 if grade == "major" else 5
        return f"M{self.across(-HALF_BLADE)} {y} h{reach} M{self.across(HALF_BLADE)} {y} h-{reach}"


def upright_blade(stick: Upright) -> str:
    left, right, foot = stick.across(-22), stick.across(22), stick.height - SHOULDER
    ring = element("circle", {"class": "ring", "cx": number(stick.cx), "cy": "15", "r": "11.5"})
    stem = element("path", {"class": "ring", "d": f"M{number(stick.cx)} 27 V42"})
    d = (f"M{left} 48 Q{left} 42 {stick.across(-16)} 42 H{stick.across(16)} Q{right} 42 {right} 48"
         f" V{number(foot)} L{number(stick.cx)} {number(stick.height - TIP)} L{left} {number(foot)} Z")  # fmt: skip
    return ring + stem + element("path", {"class": "blade", "d": d})


def upright_wet(dip: DipInput, stick: Upright) -> str:
    level = latest(dip)
    if not level and not dip.moves:
        return ""
    came = " came" if dip.back or (dip.moves == "back" and not level) else ""
    left, right, foot = stick.across(-20.7), stick.across(20.7), number(stick.height - SHOULDER - 0.5)
    y = number(stick.y(level.value if level else dip.low))
    d = f"M{left} {y} H{right} V{foot} L{number(stick.cx)} {number(stick.height - TIP - 1.7)} L{left} {foot} Z"
    return element("path", {"class": f"wet{came}{'' if level else ' unset'}", "data-part": "wet", "d": d})


def flag_width(words: str) -> float:
    return 19 + 10.2 * max(len(words), 3)


def upright_flag(side: Side, words: str, y: float, *, cx: float, is_set: bool = True) -> str:
    """A flag at height y: how it left points right into the blade, how it came back points left. Moved as one piece."""
    out = side == "out"
    tip, notch = (cx - 16, cx - 31) if out else (cx + 16, cx + 31)
    far = notch - flag_width(words) if out else notch + flag_width(words)
    d = f"M{number(far)} -17 H{number(notch)} L{number(tip)} 0 L{number(notch)} 17 H{number(far)} Z"
    label = text(words, {"class": f"{side}-t", "x": number(far + 9 if out else notch + 7), "y": "6.5"})
    group = {"class": "flag-peg" if is_set else "flag-peg unset", "data-part": side}
    place = {"transform": f"translate(0 {number(y)})"}
    return element("g", group | place, element("path", {"class": side, "d": d}) + label)


def upright_flags(dip: DipInput, stick: Upright) -> str:
    """Both flags; the one that is about to be set waits unseen at the last return."""
    sides: tuple[tuple[Side, str, Level | None], ...] = (("out", "pickup", dip.pickup), ("back", "back", dip.back))
    start = stick.y(dip.low if dip.ghost is None else dip.ghost)
    return "".join(
        upright_flag(side, level.flag, stick.y(level.value), cx=stick.cx)
        if level else upright_flag(side, UNSET, start, cx=stick.cx, is_set=False)
        for side, name, level in sides if level or dip.moves == name
    )  # fmt: skip


def upright_labels(dip: DipInput, stick: Upright) -> str:
    """Words of the scale, to the right; one that lies behind the return flag is left out."""
    covered = stick.y(dip.back.value) if dip.back else None
    shown = (tick for tick in dip.major if tick.label and (covered is None or abs(stick.y(tick.at) - covered) > 26))
    places = ((tick.label, {"x": stick.across(31), "y": number(stick.y(tick.at) + 6)}) for tick in shown)
    return "".join(text(label, {"class": "no"} | place) for label, place in places)


def upright_ghost(dip: DipInput, stick: Upright) -> str:
    if dip.ghost is None or latest(dip):
        return ""
    d = f"M{stick.across(24)} {number(stick.y(dip.ghost))} H{stick.across(70)}"
    return element("path", {"class": "ghost", "d": d})


def slider(dip: DipInput, stick: Upright) -> dict[str, str]:
    """What dip.js and a screen reader need of a stick that can be set."""
    level = dip.back if dip.moves == "back" else dip.pickup
    now = level.value if level else dip.ghost if dip.ghost is not None else dip.low
    said = f"{level.flag.removesuffix(dip.unit).strip()} {dip.unit}" if level else dip.unread
    aria = {"role": "slider", "tabindex": "0", "aria-orientation": "vertical", "aria-valuemin": str(dip.low),
            "aria-valuemax": str(dip.full), "aria-valuenow": str(now), "aria-valuetext": said}  # fmt: skip
    data = {"data-dip": dip.moves, "data-input": dip.input_id, "data-low": str(dip.low), "data-full": str(dip.full),
            "data-offset": str(dip.offset), "data-unit": dip.unit, "data-top": number(stick.y(dip.full)),
            "data-bottom": number(stick.y(dip.low))}  # fmt: skip
    return aria | data


def room(dip: DipInput) -> tuple[float, float]:
    """Middle of the blade and width of the drawing: wider only where a flag needs it."""
    two_sided = dip.back is not None or dip.moves == "back"
    left = max(106.0 if two_sided else 104.0, flag_width(dip.pickup.flag) + 35 if dip.pickup else 0)
    right = max(114.0 if two_sided else 74.0, flag_width(dip.back.flag) + 35 if dip.back else 0)
    return left, left + right


def upright_svg(dip: DipInput, *, height: int = 262) -> str:
    """The stick of a Station: 262 high beside another, 366 alone. A slider if `moves` says which Reading it sets."""
    cx, width = room(dip)
    stick = Upright(cx, height, scale(dip, height - BOTTOM, UPRIGHT_TOP))
    parts = [hatching(dip.key), upright_blade(stick), upright_wet(dip, stick), doubt(dip, stick.box)]
    parts += [graduations(dip, stick.tick), upright_labels(dip, stick), upright_ghost(dip, stick)]
    parts += [upright_flags(dip, stick)]
    view = {"class": "dip", "width": number(width), "height": str(height), "viewBox": f"0 0 {number(width)} {height}"}
    role = slider(dip, stick) if dip.moves else {"role": "img"}
    return element("svg", view | role | {"aria-label": dip.label}, "".join(parts))
