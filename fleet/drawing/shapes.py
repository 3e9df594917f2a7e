"""A drawing as a list of shapes with a role each; an ink turns roles into classes (screen) or plain values (print)."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal
from xml.sax.saxutils import escape, quoteattr

Role = Literal["body", "fit", "line", "dash", "wheel"]
Ink = Callable[[Role], Mapping[str, str]]

HEX: Mapping[str, str] = {
    "ink": "#1a1724", "ink-soft": "#494455", "paper": "#ffffff", "fitting": "#dfe5dc", "loch": "#075469",
    "bracken": "#8b3a0e", "bracken-wash": "#fbe6d7", "loch-wash": "#d9ebf0", "gorse": "#f6c62d",
}  # fmt: skip
"""Daylight colours for paper, where var() is not known. A test holds them to tokens.css."""


@dataclass(frozen=True)
class Shape:
    """One element of a drawing: `rect`, `circle`, `ellipse` or `path` with its geometry."""

    tag: str
    role: Role
    geometry: tuple[tuple[str, str], ...]


def number(value: float) -> str:
    """At most one decimal, no trailing zero: drawings are in tenths of a unit."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def attributes(pairs: Iterable[tuple[str, str]]) -> str:
    return "".join(f" {name}={quoteattr(value)}" for name, value in pairs)


def element(tag: str, pairs: Mapping[str, str], inside: str = "") -> str:
    """An element; `inside` is markup already escaped."""
    opening = f"<{tag}{attributes(pairs.items())}"
    return f"{opening}>{inside}</{tag}>" if inside else f"{opening}/>"


def text(words: str, pairs: Mapping[str, str]) -> str:
    return element("text", pairs, escape(words))


def rect(role: Role, x: float, y: float, w: float, h: float, rx: float = 0) -> Shape:
    sides = {"x": x, "y": y, "width": w, "height": h} | ({"rx": rx} if rx else {})
    return Shape("rect", role, tuple((name, number(value)) for name, value in sides.items()))


def circle(role: Role, cx: float, cy: float, r: float) -> Shape:
    return Shape("circle", role, (("cx", number(cx)), ("cy", number(cy)), ("r", number(r))))


def ellipse(role: Role, cx: float, cy: float, rx: float, ry: float) -> Shape:
    sides = {"cx": cx, "cy": cy, "rx": rx, "ry": ry}
    return Shape("ellipse", role, tuple((name, number(value)) for name, value in sides.items()))


def path(role: Role, *steps: str | float) -> Shape:
    """A path from its commands and coordinates: path("line", "M", 0, 0, "L", 5.25, 9)."""
    return Shape("path", role, (("d", " ".join(s if isinstance(s, str) else number(s) for s in steps)),))


def screen_ink(role: Role) -> Mapping[str, str]:
    return {"class": "line dash" if role == "dash" else role}


def print_ink(role: Role) -> Mapping[str, str]:
    return PRINTED[role]


PRINTED: Mapping[Role, Mapping[str, str]] = {
    "body": {"fill": HEX["paper"], "stroke": HEX["ink"], "stroke-width": "2.5", "stroke-linejoin": "round"},
    "fit": {"fill": HEX["fitting"], "stroke": HEX["ink"], "stroke-width": "1.25"},
    "line": {"fill": "none", "stroke": HEX["ink"], "stroke-width": "1.5", "stroke-linejoin": "round"},
    "dash": {"fill": "none", "stroke": HEX["ink"], "stroke-width": "1.5", "stroke-dasharray": "7 5"},
    "wheel": {"fill": HEX["ink"]},
}


def draw(shapes: Iterable[Shape], ink: Ink) -> str:
    return "".join(element(shape.tag, {**ink(shape.role), **dict(shape.geometry)}) for shape in shapes)
