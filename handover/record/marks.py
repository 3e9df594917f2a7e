"""The plan with its marks. The drawing of the vehicle comes ready from the server; the marks are drawn here."""

from collections.abc import Sequence

from handover.record.content import Mark

# Where the body lies on the plan of 360 by 664; the yard around it is left off.
VIEW = "70 66 220 526"
BRACKEN = "#8b3a0e"


def plan_svg(plan: str, marks: Sequence[Mark]) -> str:
    """`plan` is the inner markup of a drawing of 360 by 664 units, nose up; "" gives no drawing."""
    if not plan:
        return ""
    pins = "".join(_pin(mark) for mark in marks)
    return f'<svg width="88" height="210" viewBox="{VIEW}">{plan}{pins}</svg>'


def _pin(mark: Mark) -> str:
    """Known: a ring. New: filled."""
    if mark.x is None or mark.y is None:
        return ""
    inside, number = (BRACKEN, "#fff") if mark.is_new else ("#fff", BRACKEN)
    circle = f'<circle cx="{mark.x}" cy="{mark.y}" r="23" fill="{inside}" stroke="{BRACKEN}" stroke-width="2.5"/>'
    face = 'font-family="Atkinson Hyperlegible Next" font-weight="700" font-size="31" text-anchor="middle"'
    return f'{circle}<text x="{mark.x}" y="{mark.y + 11}" {face} fill="{number}">{mark.number}</text>'
