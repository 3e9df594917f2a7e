"""Loads what the demo's operator owns. A second run finds everything and only moves the due dates to today."""

from dataclasses import dataclass
from datetime import date

from django.db import transaction

from fleet.demo.branches import load_branches
from fleet.demo.layouts import load_layouts
from fleet.demo.living import load_living
from fleet.demo.people import load_people
from fleet.demo.units import load_units
from fleet.models import Branch, Layout, Unit
from shared.access.models import Person


@dataclass(frozen=True, slots=True)
class DemoFleet:
    """branches and layouts by code, people by username, units by number."""

    branches: dict[str, Branch]
    people: dict[str, Person]
    layouts: dict[str, Layout]
    units: dict[str, Unit]


@transaction.atomic
def load_fleet(*, today: date) -> DemoFleet:
    branches = load_branches(today=today)
    people = load_people(branches)
    layouts = load_layouts()
    units = load_units(branches, layouts, today=today)
    load_living(branches, layouts, units)
    return DemoFleet(branches, people, layouts, units)
