"""Two layouts of the demo as plans, and a way to read a drawing back."""

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from fleet.drawing import Fitting, PlanInput, StationPoint

LAYOUTS = Path(__file__).parents[2] / "fleet" / "demo" / "layouts"


def station(row, state="todo"):
    corners = tuple((x, y) for x, y in row["way"])
    href = f"#station-{row['number']}"
    return StationPoint(row["number"], row["name"], row["x_mm"], row["y_mm"], corners, state, href)


def plan_from(name, *, states=(), **changes):
    """The named layout; `states` are those of its first stations, the rest are to do."""
    data = json.loads((LAYOUTS / f"{name}.json").read_text())
    known = dict(zip(range(1, 99), states, strict=False))
    stations = tuple(station(row, known.get(row["number"], "todo")) for row in data["stations"])
    shape = {"length_mm": data["length_mm"], "width_mm": data["width_mm"], "axles_mm": tuple(data["axles_mm"])}
    given = shape | {"body_kind": data["body"]}
    keys = ("kind", "x_mm", "y_mm", "w_mm", "h_mm", "turn")
    given["fittings"] = tuple(Fitting(**{key: row[key] for key in keys if key in row}) for row in data["fittings"])
    return PlanInput(**(given | {"stations": stations, "label": f"Plan of {name}"} | changes))


@pytest.fixture
def skerry():
    return plan_from("skerry")


def read(svg):
    """The drawing as a tree. Fails if it is not well formed."""
    return ElementTree.fromstring(svg)  # noqa: S314 - our own drawing


def by_class(svg, kind):
    return [part for part in read(svg).iter() if kind in part.get("class", "").split()]


def numbers(text):
    return [float(figure) for figure in re.findall(r"-?\d+(?:\.\d+)?", text)]
