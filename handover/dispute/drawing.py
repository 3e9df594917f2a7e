"""A stick from nothing to beyond the mark: hatched as far as a photo can show nothing, the mark a flag. Pure."""

from fleet.drawing.shapes import element, number, text

WIDTH, HEIGHT = 330, 98
EMPTY, FULL = 34.0, 304.0
TOP, BOTTOM = 34.0, 68.0
NICE = (1, 2, 5)
MOST_TICKS = 8


def least_svg(least_mm: float, size_mm: int, *, label: str, flag: str, small: str) -> str:
    """`small` is written under what is too small to show; `label` says the whole drawing."""
    top = max(size_mm, least_mm) * 1.35
    key = f"least-{size_mm}"
    hatched = element(
        "rect", {"class": "fringe", "fill": f"url(#{key})", "x": number(EMPTY), "y": number(TOP + 1.3),
                 "width": number(_x(least_mm, top) - EMPTY), "height": number(BOTTOM - TOP - 2.6)},
    )  # fmt: skip
    parts = [_pattern(key), _blade(), hatched, *_ticks(top), _flag(_x(size_mm, top), flag)]
    parts.append(text(small, {"class": "no", "x": number(EMPTY), "y": "90"}))
    view = {"class": "dip", "width": str(WIDTH), "height": str(HEIGHT), "viewBox": f"0 0 {WIDTH} {HEIGHT}"}
    return element("svg", view | {"role": "img", "aria-label": label}, "".join(parts))


def _x(value: float, top: float) -> float:
    return EMPTY + (FULL - EMPTY) * min(value / top, 1)


def _pattern(key: str) -> str:
    whole = element("rect", {"class": "hatch-gap", "width": "7", "height": "7"})
    bar = element("rect", {"class": "hatch-bar", "width": "2.6", "height": "7"})
    tile = {"id": key, "width": "7", "height": "7", "patternUnits": "userSpaceOnUse"}
    return element("defs", {}, element("pattern", tile | {"patternTransform": "rotate(45)"}, whole + bar))


def _blade() -> str:
    return element("path", {"class": "blade", "d": "M26 34 H312 Q318 34 318 40 V62 Q318 68 312 68 H26 L10 51 Z"})


def _ticks(top: float) -> list[str]:
    """At round millimetres, eight at most."""
    step = next(base * 10**power for power in range(6) for base in NICE if top / (base * 10**power) <= MOST_TICKS)
    places = [step * count for count in range(int(top // step) + 1)]
    across = [number(_x(place, top)) for place in places]
    return [element("path", {"class": "tick", "d": f"M{x} {number(TOP)} v9 M{x} {number(BOTTOM)} v-9"}) for x in across]


def _flag(x: float, words: str) -> str:
    width = 22 + 10.4 * max(len(words), 3)
    left = min(max(x - width / 2, 0), WIDTH - width)
    point = f"H{number(min(x + 9, left + width))} L{number(x)} {number(TOP + 5)} L{number(max(x - 9, left))} 27"
    d = f"M{number(left)} 1 H{number(left + width)} V27 {point} H{number(left)} Z"
    said = {"class": "back-t", "x": number(left + 9), "y": "20"}
    return element("g", {}, element("path", {"class": "back", "d": d}) + text(words, said))
