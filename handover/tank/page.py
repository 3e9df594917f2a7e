"""A tank as its page shows it: the plot, the same in figures, the receipts, and what is doubted."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from django.utils.safestring import SafeString, mark_safe
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from consumables.fuel import Liquid, volume_at_15
from consumables.gauge import named
from consumables.models import Fill
from consumables.readable import figure
from consumables.tank import Doubt, Residual, curve_svg, straight_line
from fleet.models import Instrument
from handover.tank.queries import Tank
from shared.dates import day_text
from shared.units import quantity, value_in

TENTH = Decimal("0.1")
WEATHER = (-10, 0, 15, 30)
# Two standard uncertainties: about 95 %.
SHOWN = 2


@dataclass(frozen=True, slots=True)
class Knot:
    """A place of the gauge, and the litres there: by the straight line, by the receipts, give or take."""

    gauge: str
    straight: Decimal
    learned: Decimal
    doubt: Decimal


@dataclass(frozen=True, slots=True)
class ReceiptRow:
    """A fill with what the gauge said of it; residual is None for one that could not be used at all."""

    fill: Fill
    before: str
    after: str
    residual: Residual | None

    @property
    def by_gauge(self) -> Decimal | None:
        return self.residual.expected.quantize(TENTH) if self.residual else None

    @property
    def doubt(self) -> Decimal | None:
        return (SHOWN * self.residual.u).quantize(TENTH) if self.residual else None

    @property
    def is_set_aside(self) -> bool:
        return self.residual is None or not self.residual.used


@dataclass(frozen=True, slots=True)
class TankPage:
    tank: Tank
    litres: str
    drawing: SafeString
    knots: tuple[Knot, ...]
    receipts: tuple[ReceiptRow, ...]
    doubts: tuple[str, ...]
    standing: str
    full_at: tuple[tuple[int, Decimal], ...]


def tank_page(tank: Tank) -> TankPage:
    return TankPage(
        tank=tank,
        litres=figure(tank.capacity),
        drawing=_drawing(tank),
        knots=tuple(_knots(tank)),
        receipts=tuple(_receipts(tank)),
        doubts=doubts_of(tank),
        standing=standing_of(tank),
        full_at=tuple(_full_at(tank)),
    )


def _full_at(tank: Tank) -> Iterator[tuple[int, Decimal]]:
    """What a full tank would be at 15 °C, filled at these temperatures; for information, nothing is charged by it."""
    is_fuel = tank.instrument.measures == Instrument.Measures.FUEL
    liquid: Liquid = ("petrol" if tank.unit.layout.fuel == "petrol" else "diesel") if is_fuel else "exhaust_fluid"
    for celsius in WEATHER:
        standard = volume_at_15(quantity(tank.capacity, "L"), quantity(celsius, "degC"), liquid)
        yield celsius, value_in(standard, "L").quantize(TENTH)


def doubts_of(tank: Tank) -> tuple[str, ...]:
    """In the language of the page; one about a receipt begins with its day, so that it is found in the table."""
    days = {str(fill.pk): day_text(localtime(fill.at)) for fill in tank.fills}
    return tuple(_doubt(doubt, days.get(doubt.key)) for doubt in tank.learned.doubts)


def _doubt(doubt: Doubt, day: str | None) -> str:
    sentence = doubt.sentence.in_language(_)
    return _("%(day)s: %(sentence)s") % {"day": day, "sentence": sentence} if day else sentence


def standing_of(tank: Tank) -> str:
    """What the receipts tell so far, in one sentence."""
    learned = tank.learned
    if not learned.used:
        return _("No receipts yet: the gauge counts as a straight line.")
    if not learned.differs:
        words = _("%(count)s receipts do not tell this tank from a straight line.")
        return words % {"count": learned.used}
    away, doubt = _furthest(tank)
    words = _("By %(count)s receipts it is up to %(away)s L from the straight line, give or take %(doubt)s L there.")
    return words % {"count": learned.used, "away": away, "doubt": doubt}


def _furthest(tank: Tank) -> tuple[Decimal, Decimal]:
    knots = max(_knots(tank), key=lambda knot: abs(knot.learned - knot.straight))
    return abs(knots.learned - knots.straight), knots.doubt


def _drawing(tank: Tank) -> SafeString:
    """The drawing escapes every word it is given."""
    label = _("%(tank)s of unit %(unit)s, litres by gauge. %(standing)s The figures stand in the table.")
    named_so = {"tank": tank.instrument.name, "unit": tank.unit.number, "standing": standing_of(tank)}
    svg = curve_svg(tank.learned, label=label % named_so, gauge_words=_("Gauge"), litre_words=_("Litres"))
    return mark_safe(svg)  # noqa: S308


def _knots(tank: Tank) -> list[Knot]:
    curve = tank.learned.curve
    straight = straight_line(tank.capacity, curve.spans)
    rows = zip(straight.litres, curve.litres, tank.learned.standard_uncertainty, strict=True)
    return [
        Knot(_said(tank, Decimal(place) / curve.spans), level.quantize(TENTH), known.quantize(TENTH),
             (SHOWN * u).quantize(TENTH))
        for place, (level, known, u) in enumerate(rows)
    ]  # fmt: skip


def _receipts(tank: Tank) -> list[ReceiptRow]:
    """The newest first."""
    found = {residual.fill.key: residual for residual in tank.learned.residuals}
    return [
        ReceiptRow(fill, _said(tank, fill.before), _said(tank, fill.after), found.get(str(fill.pk)))
        for fill in reversed(tank.fills)
    ]


def _said(tank: Tank, part: Decimal) -> str:
    return named(tank.scale, part).in_language(_)
