"""A lying dip-stick for print: pickup flag above, return flag below, what counts in gorse, the doubt hatched.

150 by 40 units, plain attributes and hex values only; the scale runs from x 20 to x 140, its point at empty.
"""

from decimal import Decimal

from handover.record.content import Reading, Scale

INK, LOCH, BRACKEN, GORSE = "#1a1724", "#075469", "#8b3a0e", "#f6c62d"
LOCH_WASH, BRACKEN_WASH = "#d9ebf0", "#fbe6d7"
EMPTY, LENGTH = Decimal(20), Decimal(120)
TOP, BOTTOM = 11, 29
HATCH_STEP, HATCH_SLANT = Decimal("3.4"), Decimal(5)
MOST_PARTS = 24


def lying_stick(out: Reading | None, back: Reading | None) -> str:
    """The stick of one instrument, or "" where it has no scale. A reading that was not made has no flag."""
    scale = next((reading.scale for reading in (out, back) if reading and reading.scale), None)
    if scale is None or scale.high <= scale.low:
        return ""
    parts = [
        f'<path d="M16 {TOP} H145 V{BOTTOM} H16 L4 20 Z" fill="#fff" stroke="{INK}" stroke-width="1.4"/>',
        _wet(scale, out, back),
        _difference(scale, out, back),
        _graduations(scale.parts),
        _flag(_place(scale, out), 14, -9, LOCH),
        _flag(_place(scale, back), 26, 9, BRACKEN),
    ]
    return f'<svg width="150" height="40" viewBox="0 0 150 40" preserveAspectRatio="none">{"".join(parts)}</svg>'


def _at(scale: Scale, value: Decimal) -> Decimal:
    """The place of a value, held on the stick."""
    share = (value - scale.low) / (scale.high - scale.low)
    return EMPTY + LENGTH * min(max(share, Decimal(0)), Decimal(1))


def _place(scale: Scale, reading: Reading | None) -> Decimal | None:
    return None if reading is None or reading.value is None else _at(scale, reading.value)


def _wet(scale: Scale, out: Reading | None, back: Reading | None) -> str:
    latest = back if _place(scale, back) is not None else out
    place = _place(scale, latest)
    if place is None:
        return ""
    wash = BRACKEN_WASH if latest is back else LOCH_WASH
    return f'<path d="M16.4 {TOP}.7 H{place:.1f} V{BOTTOM - 1}.3 H16.4 L5.2 20 Z" fill="{wash}"/>'


def _difference(scale: Scale, out: Reading | None, back: Reading | None) -> str:
    """The band between two readings: solid where it counts, hatched as wide as each instrument's doubt."""
    ends = sorted((r.value, r.half_width or Decimal(0)) for r in (out, back) if r and r.value is not None)
    if len(ends) < 2:
        return ""
    (low, low_half), (high, high_half) = ends
    if low + low_half >= high - high_half:
        return _hatched(_at(scale, low - low_half), _at(scale, high + high_half))
    solid_from, solid_to = _at(scale, low + low_half), _at(scale, high - high_half)
    solid = _box(solid_from, solid_to, GORSE, "1")
    return solid + _hatched(_at(scale, low), solid_from) + _hatched(solid_to, _at(scale, high))


def _box(left: Decimal, right: Decimal, fill: str, edge: str) -> str:
    size = f'x="{left:.1f}" y="{TOP}" width="{right - left:.1f}" height="{BOTTOM - TOP}"'
    return f'<rect {size} fill="{fill}" stroke="{INK}" stroke-width="{edge}"/>'


def _hatched(left: Decimal, right: Decimal) -> str:
    if right <= left:
        return ""
    lines, foot = [], left
    while foot < right:
        lines.append(f"M{foot:.1f} {BOTTOM} L{min(foot + HATCH_SLANT, right):.1f} {TOP}")
        foot += HATCH_STEP
    return _box(left, right, "#fff", ".8") + f'<path d="{" ".join(lines)}" stroke="{INK}" stroke-width="1"/>'


def _graduations(parts: int) -> str:
    count = min(max(parts, 1), MOST_PARTS)
    places = (EMPTY + LENGTH * step / count for step in range(count + 1))
    marks = " ".join(f"M{place:.1f} {TOP} v5 M{place:.1f} {BOTTOM} v-5" for place in places)
    return f'<path d="{marks}" stroke="{INK}" stroke-width="1"/>'


def _flag(place: Decimal | None, tip: int, rise: int, colour: str) -> str:
    return "" if place is None else f'<path d="M{place:.1f} {tip} l-6 {rise} h12 Z" fill="{colour}"/>'
