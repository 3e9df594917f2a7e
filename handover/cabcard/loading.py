"""What a leg carries on paper: the party as planned, and the water that was read, else the water it is filled with."""

from consumables import mass
from consumables.said import Said
from consumables.trip_plan import Tanks
from fleet.models import Layout
from handover.cabcard.queries import carried_on, party_of
from handover.rental.models import Leg
from shared.units import quantity

WATER = quantity(1, "kg/L")


def load_of(leg: Leg) -> tuple[int, mass.Payload]:
    """How many go, driver included, and what may still be loaded with them; in seven queries."""
    planned = leg.rental.plannedparty_rows.last()
    people = party_of(planned, leg.rental).people
    return people, payload_with(leg.unit.layout, carried_on(leg, planned).stores.tanks, people=people)


def payload_with(layout: Layout, tanks: Tanks | None, *, people: int) -> mass.Payload:
    """By the layout's plate: passengers and fresh water on top of the mass in running order."""
    plate = mass.Plate(
        quantity(layout.max_mass_kg, "kg"), quantity(layout.running_mass_kg, "kg"), quantity(layout.length_mm, "mm")
    )
    loads = [mass.passengers(people)]
    if tanks:
        loads.append(mass.Load(Said("Fresh water"), quantity(tanks.fresh_now_l, "L") * WATER))
    return mass.payload(plate, loads, persons=people)
