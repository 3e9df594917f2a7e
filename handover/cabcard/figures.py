"""The figures at the head of a Cab card: size, mass, speed, tyres, each in both systems of units; and the gas."""

from collections.abc import Callable, Iterator
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from consumables import lpg, mass
from consumables.dimensions import size_in_both, speed_in_both
from consumables.said import Said
from consumables.tyres import pressure_in_all
from handover.cabcard.loading import payload_with
from handover.cabcard.queries import CardFacts
from handover.cabcard.rows import Figure
from handover.cabcard.tongues import Both, Tongues
from shared.phrasebook import said
from shared.quantities import NARROW_SPACE
from shared.units import Quantity, from_canonical, quantity, value_in

# A weighbridge knows better than tens.
TEN, TENTH = Decimal(10), Decimal("0.1")
LIQUID_AT = quantity(15, "degC")


def height(facts: CardFacts, tongues: Tongues) -> Figure:
    return _size(tongues, lambda: _("Height"), facts.layout.height_mm)


def figures(facts: CardFacts, tongues: Tongues) -> Iterator[Figure]:
    """What is not entered is left out."""
    layout = facts.layout
    if layout.width_mirrors_mm:
        yield _size(tongues, lambda: _("Width with mirrors"), layout.width_mirrors_mm)
    yield _size(tongues, lambda: _("Length"), layout.length_mm)
    yield _mass(tongues, lambda: _("Most it may weigh"), quantity(layout.max_mass_kg, "kg"))
    yield _to_load(facts, tongues)
    if layout.tyre_front_bar and layout.tyre_rear_bar:
        yield _tyres(tongues, layout.tyre_front_bar, layout.tyre_rear_bar)
    if layout.speed_kmh:
        speed = speed_in_both(quantity(layout.speed_kmh, "km/h"))
        yield Figure(tongues.both(lambda: _("Most speed")), speed.metric, speed.imperial)


def _size(tongues: Tongues, name: Callable[[], str], millimetres: int) -> Figure:
    size = size_in_both(quantity(millimetres, "mm"))
    return Figure(tongues.both(name), size.metric, size.imperial)


def _mass(tongues: Tongues, name: Callable[[], str], given: Quantity) -> Figure:
    pounds = from_canonical(value_in(given, "kg"), "lb")
    return Figure(tongues.both(name), f"{_thousands(value_in(given, 'kg'))} kg", f"{_thousands(pounds)} lb")


def _thousands(value: Decimal) -> str:
    return f"{value.quantize(Decimal(1), ROUND_FLOOR):,}".replace(",", NARROW_SPACE)


def _to_load(facts: CardFacts, tongues: Tongues) -> Figure:
    """In tens downwards, as paper has it: with the party in it and the water it starts with."""
    left = value_in(payload_of(facts).left, "kg")
    rounded = quantity((left / TEN).to_integral_value(ROUND_FLOOR) * TEN, "kg")
    if left < 0:
        return _mass(tongues, lambda: _("Overloaded on paper by"), quantity(-value_in(rounded, "kg"), "kg"))
    return _mass(tongues, lambda: _("You may still load about"), rounded)


def payload_of(facts: CardFacts) -> mass.Payload:
    return payload_with(facts.layout, facts.carried.stores.tanks, people=facts.party.people)


def mass_words(facts: CardFacts) -> tuple[Said, ...]:
    """What the mass that may be loaded rests on, and what it does not know."""
    reckoned = payload_of(facts)
    licence = mass.licence_note(quantity(facts.layout.max_mass_kg, "kg"))
    return (reckoned.advice, *reckoned.unknown, *([licence] if licence else []))


def _tyres(tongues: Tongues, front: Decimal, rear: Decimal) -> Figure:
    front_all, rear_all = (pressure_in_all(quantity(value, "bar")) for value in (front, rear))
    bars = f"{_tenths(front)} / {_tenths(rear)} bar"
    return Figure(
        tongues.both(lambda: _("Tyres, cold, front / rear")), bars, f"{front_all.psi[:-4]} / {rear_all.psi}"
    )  # fmt: skip


def gas_words(facts: CardFacts, tongues: Tongues) -> Iterator[Both]:
    """How much there is, as a mass and as liquid, how long it lasts, and what a refill may not exceed."""
    gas, kind = facts.carried.stores.gas, facts.carried.gas_kind
    if gas is None:
        return
    held = sum((value_in(each.mass, "kg") for each in gas.contents), Decimal(0))
    litres = value_in(lpg.liquid_litres(quantity(held, "kg"), kind, LIQUID_AT), "L")
    what = {"kg": _tenths(held), "litres": _tenths(litres)}
    words = gettext_noop("%(kg)s kg of %(gas)s, about %(litres)s L as liquid of 15 °C.")
    yield tongues.both(lambda: _(words) % {**what, "gas": said(kind.name)})
    a_day = lpg.burnt_in_a_day(gas.loads, people=facts.party.people, frost=facts.any_frost, on_mains=False)
    if lasts := lpg.nights_left(gas.contents, a_day):
        yield tongues.both(lambda: _lasts(lasts, a_day))
    most = min(value_in(lpg.fill_limit(each), "kg") for each in facts.carried.cylinders)
    refill = {"kg": _tenths(most)}
    yield tongues.both(
        lambda: _("A cylinder here may hold %(kg)s kg and never more; a filler stops at 80 %% of its volume.") % refill
    )


def _lasts(lasts: lpg.NightsLeft, a_day: Quantity) -> str:
    words = ngettext(
        "Off mains it lasts %(nights)s night, at least %(least)s, at %(grams)s g a day.",
        "Off mains it lasts %(nights)s nights, at least %(least)s, at %(grams)s g a day.",
        lasts.nights,
    )
    grams = (value_in(a_day, "kg") * 1000).quantize(Decimal(1))
    return words % {"nights": lasts.nights, "least": lasts.at_least, "grams": grams}


def _tenths(value: Decimal) -> str:
    return str(value.quantize(TENTH, ROUND_HALF_UP))
