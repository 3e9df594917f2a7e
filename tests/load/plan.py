"""What each tablet will do, made beside the server's database: python -m tests.load.plan TABLETS FILE.

Needs the demo and a simulated history. Every tablet gets a person, a device, a session and a pickup of its own; the
plan is a list of answers in the order of the stations, and ends with both signatures.
"""

import json
import os
import sys
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

Step = dict[str, Any]
FULL = {"house_battery": "92", "tread": "6.5", "fresh_water": "100"}


def main(words: list[str]) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shared.settings")
    import django

    django.setup()
    tablets, file = int(words[0]), Path(words[1])
    file.write_text(json.dumps([_tablet(number) for number in range(tablets)]))


def _tablet(number: int) -> Step:
    from fleet.models import Unit
    from handover.tablet.devices import device_of, token_for
    from handover.walkround.actions import walk_id_of
    from shared.ids import uuid7

    unit = Unit.objects.filter(plate__startswith="SIM ").select_related("branch", "layout").order_by("pk")[number]
    _priced(unit.branch)
    person = _host(number, unit)
    device = device_of(uuid7(), person, by_password=True)
    leg = _booked(unit, person).legs.get()
    return {
        "session": _session(person, device), "device": str(device.pk), "person": str(person.pk),
        "token": token_for(person, device), "leg": str(leg.pk), "walk": str(walk_id_of(leg, "pickup")),
        "plate": unit.plate, "customer": leg.rental.customer.name, "steps": list(_steps(leg)),
    }  # fmt: skip


def _priced(branch: Any) -> None:
    """As the branch that it was copied from."""
    from handover.rental.models import RateCard

    if not RateCard.objects.filter(branch=branch).exists():
        card = RateCard.objects.filter(branch__code="inverlark", draft=False).latest("number")
        RateCard.objects.create(branch=branch, number=1, valid_from=card.valid_from, rules=card.rules)


def _host(number: int, unit: Any) -> Any:
    from fleet.models import Posting
    from shared.access.models import Person

    person = Person.objects.create(username=f"load-{number}", first_name="Host", last_name=str(number), role="host")
    Posting.objects.create(person=person, branch=unit.branch)
    return person


def _session(person: Any, device: Any) -> str:
    """Signed in without the password's cost: forty people do not sign in within the same second."""
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.contrib.sessions.backends.db import SessionStore

    from shared.access.here import BACKEND, DEVICE

    session = SessionStore()
    session.update({
        SESSION_KEY: str(person.pk), BACKEND_SESSION_KEY: BACKEND,
        HASH_SESSION_KEY: person.get_session_auth_hash(), DEVICE: str(device.pk),
    })  # fmt: skip
    session.create()
    return str(session.session_key)


def _booked(unit: Any, person: Any) -> Any:
    from django.utils import timezone

    from handover.acting import Act
    from handover.rental.actions import book
    from handover.rental.booking import BookingDetails
    from shared.ids import uuid7

    now = timezone.now()
    details = BookingDetails(
        customer_name="Noor Haldane", unit=unit, drivers=("Noor Haldane",), charged_days=4,
        planned_out_at=now + timedelta(minutes=30), planned_back_at=now + timedelta(days=4),
    )  # fmt: skip
    return book(branch=unit.branch, details=details, act=Act(by=person, at=now, key=uuid7(), device="load"))


def _steps(leg: Any) -> Iterator[Step]:
    from handover.walkround.asking import sheet_today
    from handover.zone import today_at

    sheet = sheet_today(leg.unit, today=today_at(leg.rental.branch)).data
    for station in sheet.stations:
        for step in _answers(station, leg.unit):
            yield {"station": station.number} | step


def _answers(station: Any, unit: Any) -> Iterator[Step]:
    pickup = {"both", "pickup"}
    for ask in (one for one in station.checks if one.at in pickup):
        yield _step("check", ask.id, word="good")
    for ask in (one for one in station.instruments if one.at in pickup):
        yield _step("reading", ask.id, typed=_typed(ask, unit))
    for ask in station.counts:
        yield _step("count", ask.id, present=str(ask.quantity))
    for ask in station.kits:
        yield _step("seal", ask.id, state="whole", seal_number=ask.seal_number)
    for ask in (one for one in station.views if one.at in pickup):
        yield _step("photo", None, subject=str(ask.subject))
    for ask in station.topics:
        yield _step("topic", ask.id, outcome="understood", seconds="21")


def _step(kind: str, item: Any, **fields: str) -> Step:
    return {"kind": kind, "item": str(item) if item else None, "fields": fields}


def _typed(ask: Any, unit: Any) -> str:
    """As the yard sends it out: full, emptied, charged."""
    if ask.measures == "odometer":
        return f"{unit.odometer_km + 30} km"
    if ask.measures == "gas":
        return str((ask.tare_kg or 0) + (ask.net_kg or 0))
    if ask.measures in {"fuel", "exhaust_fluid"}:
        return str(ask.capacity)
    return FULL.get(ask.measures, "0")


if __name__ == "__main__":
    main(sys.argv[1:])
