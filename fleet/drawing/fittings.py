"""Furniture and doors seen from above. Each kind draws itself into a rectangle of w by h units whose corner is 0, 0."""

from collections.abc import Callable, Mapping

from fleet.drawing.frame import Frame
from fleet.drawing.model import Fitting, TrafficSide
from fleet.drawing.shapes import Ink, Shape, circle, draw, element, ellipse, number, path, rect

Shapes = tuple[Shape, ...]
CAB_SEATS = ("driver_seat", "passenger_seat")
OVER_ALL = ("alcove_bed", "garage", "rear_doors", "sliding_door", "entry_door")
"""Drawn after the rest: what lies above, beneath, or in the wall."""


def seat(w: float, h: float) -> Shapes:
    """Cushion and, behind it, a backrest somewhat wider."""
    return rect("fit", 0.08 * w, 0, 0.84 * w, 0.81 * h, 8), rect("fit", 0, 0.77 * h, w, 0.23 * h, 6)


def driver_seat(w: float, h: float) -> Shapes:
    wheel = path("line", "M", w / 2 - 15, -6, "Q", w / 2, -16, w / 2 + 15, -6)
    return *seat(w, h), wheel


def bench(w: float, h: float) -> Shapes:
    places = max(1, round(w / 40))
    back = path("line", "M", 0, h - 12, "H", w)
    parts = (path("line", "M", i * w / places, 0, "V", h - 12) for i in range(1, places))
    return rect("fit", 0, 0, w, h, 3), back, *parts


def pillows(w: float, h: float, count: int) -> Shapes:
    tall, wide = min(18, 0.34 * h), w / count - 20
    return tuple(rect("line", i * w / count + 10, h - 8 - tall, wide, tall, 6) for i in range(count))


def bed(w: float, h: float) -> Shapes:
    """Mattress, the fold of the sheet, one pillow or two, at the rear."""
    count = 2 if w > 70 else 1
    fold = h - 16 - min(18, 0.34 * h)
    middle = (path("line", "M", w / 2, fold, "V", h),) if count == 2 else ()
    return rect("fit", 0, 0, w, h), path("line", "M", 0, fold, "H", w), *middle, *pillows(w, h, count)


def alcove_bed(w: float, h: float) -> Shapes:
    """A bed above the cab: dashed, as everything overhead."""
    return (rect("dash", 0, 0, w, h, 14),)


def worktop(w: float, h: float) -> Shapes:
    return (rect("fit", 0, 0, w, h),)


def hob(w: float, h: float) -> Shapes:
    r = min(0.31 * w, 0.19 * h)
    return circle("line", w / 2, 0.26 * h, r), circle("line", w / 2, 0.74 * h, r)


def sink(w: float, h: float) -> Shapes:
    return rect("line", 0, 0, w, h, 4), circle("line", w / 2, h / 2, 2)


def fridge(w: float, h: float) -> Shapes:
    cold = path("line", "M", w / 2, h / 2 - 8, "V", h / 2 + 8, "M", w / 2 - 7, h / 2 - 4, "L", w / 2 + 7, h / 2 + 4,
                "M", w / 2 - 7, h / 2 + 4, "L", w / 2 + 7, h / 2 - 4)  # fmt: skip
    return rect("fit", 0, 0, w, h), cold


def wardrobe(w: float, h: float) -> Shapes:
    rail = path("line", "M", w / 2, 4, "V", h - 4)
    hangers = (path("line", "M", w / 2 - 9, y, "L", w / 2 + 9, y + 3) for y in range(8, int(h) - 6, 8))
    return rect("fit", 0, 0, w, h), rail, *hangers


def storage(w: float, h: float) -> Shapes:
    return rect("fit", 0, 0, w, h), path("line", "M", 0, 0, "L", w, h, "M", w, 0, "L", 0, h)


def wet_room(w: float, h: float) -> Shapes:
    return rect("fit", 0, 0, w, h), circle("line", w - 7, 7, 2)


def toilet(w: float, h: float) -> Shapes:
    return (ellipse("line", w / 2, h / 2, w / 2, h / 2),)


def table(w: float, h: float) -> Shapes:
    return (rect("fit", 0, 0, w, h, 6),)


def gas_locker(w: float, h: float) -> Shapes:
    count = max(1, round(h / w))
    r = min(0.37 * w, 0.4 * h / count)
    return rect("fit", 0, 0, w, h), *(circle("line", w / 2, (i + 0.5) * h / count, r) for i in range(count))


def garage(w: float, h: float) -> Shapes:
    """A hold beneath what stands above it, open to both sides."""
    return rect("dash", 0, 0, w, h), path("line", "M", 0, 3, "V", h - 3, "M", w, 3, "V", h - 3)


def sliding_door(w: float, h: float) -> Shapes:
    """In the left wall at turn 0: the leaf outside, its opening dashed."""
    return path("dash", "M", w, 0, "V", h), rect("body", 0, 0, 5, h)


def entry_door(w: float, h: float) -> Shapes:
    """In the left wall at turn 0: a hinged leaf and the step before it."""
    return rect("body", 0, 0, 5, h), rect("line", -9, 4, 9, h - 8, 2)


def rear_doors(w: float, h: float) -> Shapes:
    half = w / 2
    return rect("body", 0, 0, half - 1, h, 2), rect("body", half + 1, 0, half - 1, h, 2)


KINDS: Mapping[str, Callable[[float, float], Shapes]] = {
    "driver_seat": driver_seat, "passenger_seat": seat, "seat": seat, "bench": bench, "bed": bed,
    "alcove_bed": alcove_bed, "galley": worktop, "hob": hob, "sink": sink, "fridge": fridge, "wardrobe": wardrobe,
    "storage": storage, "wet_room": wet_room, "toilet": toilet, "table": table, "gas_locker": gas_locker,
    "garage": garage, "sliding_door": sliding_door, "entry_door": entry_door, "rear_doors": rear_doors,
}  # fmt: skip


def left_edge(fitting: Fitting, traffic_side: TrafficSide) -> int:
    """x of the left edge in mm. The cab's seats stand where the country drives from; all else stays as built."""
    if fitting.kind not in CAB_SEATS:
        return fitting.x_mm
    driver_is_right = traffic_side == "left"
    is_right = driver_is_right == (fitting.kind == "driver_seat")
    distance = abs(fitting.x_mm + fitting.w_mm / 2)
    return round((distance if is_right else -distance) - fitting.w_mm / 2)


def placed(fitting: Fitting, frame: Frame, traffic_side: TrafficSide, ink: Ink) -> str:
    """The fitting as a group at its place, turned. Raises ValueError for a kind that cannot be drawn."""
    if fitting.kind not in KINDS:
        raise ValueError(f"{fitting.kind!r} cannot be drawn. Kinds are: {', '.join(KINDS)}.")
    w, h = fitting.w_mm * frame.unit, fitting.h_mm * frame.unit
    x, y = frame.x(left_edge(fitting, traffic_side)), frame.y(fitting.y_mm)
    if not fitting.turn:
        return element("g", {"transform": f"translate({number(x)} {number(y)})"}, draw(KINDS[fitting.kind](w, h), ink))
    own_w, own_h = (h, w) if fitting.turn in (90, 270) else (w, h)
    middle = f"translate({number(x + w / 2)} {number(y + h / 2)}) rotate({fitting.turn})"
    turned = f"{middle} translate({number(-own_w / 2)} {number(-own_h / 2)})"
    return element("g", {"transform": turned}, draw(KINDS[fitting.kind](own_w, own_h), ink))


def all_placed(fittings: tuple[Fitting, ...], frame: Frame, traffic_side: TrafficSide, ink: Ink) -> str:
    in_order = sorted(fittings, key=lambda fitting: fitting.kind in OVER_ALL)
    return "".join(placed(fitting, frame, traffic_side, ink) for fitting in in_order)
