"""A simulated fleet: tanks of known curves, gauges read to the nearest graduation, receipts with the pump's error.

python -m tests.consumables.fleet_of_tanks measures the learned curve against the number of receipts, and writes the
table and the drawing that the package shows.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

import numpy as np
from numpy.random import Generator

import consumables.tank
from consumables.gauge import EIGHTHS, PERCENT, QUARTERS, SIXTEENTHS, GaugeScale
from consumables.plot import Axis, Plot, dots, drawing, polyline
from consumables.tank import Fill, TankCurve, learn

RECEIPTS = (3, 5, 10, 20, 40, 80)
SCALES = {"4 steps": QUARTERS, "8 steps": EIGHTHS, "16 steps": SIXTEENTHS, "percent": PERCENT}
UNITS, SEED, TANK_L = 60, 20260304, 90.0
DRAWING = Path(consumables.tank.__file__).with_name("recovery.svg")
GRID = np.linspace(0.0, 1.0, 201)
# What a reader adds to the half graduation, and how a pump scatters within its class.
SETTLING, PUMP = 0.01, 0.0025

# A file of its own has no page that brings the colours.
LOOK = (
    "<style>text{font:15px sans-serif}.m{text-anchor:middle}.r{text-anchor:end}.grid{stroke:#ccc}"
    ".curve{fill:none;stroke:#075469;stroke-width:3}.straight{stroke:#1a1724;stroke-dasharray:8 6}</style>"
)

Shape = Callable[[np.ndarray], np.ndarray]


@dataclass(frozen=True)
class Recovery:
    """Root mean squares over the fleet in percent of the tank; better: the share of units that learning serves."""

    straight: float
    learned: float
    said: float
    better: float


def true_shape(random: Generator) -> Shape:
    """Litres for the gauge, both as parts of full, of three kinds that the learning does not know."""
    kind = random.integers(3)
    if kind == 0:
        bend = random.uniform(0.65, 1.5)
        return lambda part: part**bend
    if kind == 1:
        return _saddle(random.uniform(1, 5), inverse=bool(random.integers(2)))
    knees = np.concatenate([[0.0], np.cumsum(random.dirichlet(np.full(4, 12.0)))])
    return lambda part: np.interp(part, np.linspace(0, 1, 5), knees)


def _saddle(steepness: float, *, inverse: bool) -> Shape:
    rise = 1 / (1 + np.exp(-steepness * (GRID - 0.5)))
    rise = (rise - rise[0]) / (rise[-1] - rise[0])
    return (lambda part: np.interp(part, rise, GRID)) if inverse else (lambda part: np.interp(part, GRID, rise))


def receipts(shape: Shape, scale: GaugeScale, count: int, random: Generator) -> list[Fill]:
    """Three in four are filled until the pump stops; the others by a part of the tank."""
    before = random.uniform(0.03, 0.95, count)
    click = (random.random(count) < 0.75) | (before > 0.75)
    after = np.where(click, 1.0, np.minimum(before + random.uniform(0.15, 0.6, count), 0.97))
    litres = TANK_L * (shape(after) - shape(before)) * (1 + random.normal(0, PUMP, count))
    read = [_read(parts, scale, random) for parts in (before, np.where(click, 1.0, after))]
    read[1] = np.where(click, 1.0, read[1])
    rows = zip(*read, litres, click, strict=True)
    return [Fill(f"r{number}", _decimal(out), _decimal(back), Decimal(f"{volume:.2f}"), bool(full))
            for number, (out, back, volume, full) in enumerate(rows)]  # fmt: skip


def _read(parts: np.ndarray, scale: GaugeScale, random: Generator) -> np.ndarray:
    seen = parts + random.normal(0, SETTLING, len(parts))
    return np.clip(np.round(seen * scale.steps) / scale.steps, 0, 1)


def _decimal(part: float) -> Decimal:
    return Decimal(f"{part:.6f}")


def wrong_by(curve: TankCurve, shape: Shape) -> float:
    """Mean square over the gauge, in parts of the tank squared."""
    knots = np.linspace(0, 1, curve.spans + 1)
    return float(np.mean((np.interp(GRID, knots, [float(each) for each in curve.litres]) / TANK_L - shape(GRID)) ** 2))


@cache
def recovered(scale: GaugeScale, units: int = UNITS, seed: int = SEED) -> dict[int, Recovery]:
    """For each number of receipts, over a fleet of this size."""
    random = np.random.default_rng(seed)
    rows = [_unit(scale, random) for _ in range(units)]
    return {count: _summed([row[place] for row in rows]) for place, count in enumerate(RECEIPTS)}


def _unit(scale: GaugeScale, random: Generator) -> list[tuple[float, float, float]]:
    shape = true_shape(random)
    fills = receipts(shape, scale, max(RECEIPTS), random)
    straight = float(np.mean((GRID - shape(GRID)) ** 2))
    found = [learn(fills[:count], scale, Decimal(TANK_L)) for count in RECEIPTS]
    return [(straight, wrong_by(each.curve, shape), _said(each.standard_uncertainty)) for each in found]


def _said(u: Sequence[Decimal]) -> float:
    return float(np.mean([(float(each) / TANK_L) ** 2 for each in u]))


def _summed(rows: list[tuple[float, float, float]]) -> Recovery:
    straight, learned, said = (100 * float(np.sqrt(np.mean(column))) for column in zip(*rows, strict=True))
    return Recovery(straight, learned, said, float(np.mean([row[1] < row[0] for row in rows])))


def table() -> str:
    """The table of the package docstring."""
    lines = ["receipts " + " ".join(f"{name:>9}" for name in SCALES)]
    for count in (0, *RECEIPTS):
        cells = (_cell(recovered(scale), count) for scale in SCALES.values())
        lines.append(f"{count:>8} " + " ".join(f"{cell:>9.1f}" for cell in cells))
    return "\n".join(lines)


def _cell(found: dict[int, Recovery], count: int) -> float:
    return found[count].learned if count else found[RECEIPTS[0]].straight


def picture() -> str:
    """Error of the learned curve against the number of receipts, for a gauge of eighths; dashed the straight line's."""
    found = recovered(EIGHTHS)
    plot = Plot(
        Axis(0, 80, "Receipts", tuple((float(each), str(each)) for each in range(0, 81, 10))),
        Axis(0, 6, "Error, % of the tank", tuple((float(each), str(each)) for each in range(7))),
    )
    points = [(float(count), each.learned) for count, each in found.items()]
    level = found[RECEIPTS[0]].straight
    lines = polyline(plot, points, "learned") + polyline(plot, [(0, level), (80, level)], "straight")
    label = "The error of a learned curve falls with the number of receipts; the straight line's stays."
    return drawing(plot, label, [LOOK, lines, dots(plot, points)])


if __name__ == "__main__":
    DRAWING.write_text(f"{picture()}\n")
    print(table())  # noqa: T201
    for name, scale in SCALES.items():
        print(name, {count: round(each.said, 1) for count, each in recovered(scale).items()})  # noqa: T201
        print(name, {count: round(each.better, 2) for count, each in recovered(scale).items()})  # noqa: T201
