"""What the search costs at 100,000 rentals beside 1,000: whole pages, through their address, from a database file.

Each rental has a customer, a driver, a leg, a walk-round with a remark, and a Record. SEARCH_COUNT=20000 is a quick
look. All that is timed is of one run; only the ratio is worth keeping.
"""

import os
import random
import statistics
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import perf_counter

from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from fleet.models import Branch, Unit
from handover.record.models import Record
from handover.rental.models import Customer, Driver, Leg, Rental
from handover.walkround.models import Remark, Sheet, WalkRound
from shared.access.models import Person
from shared.ids import uuid7
from tests.bench.pairing import say, seconds
from tests.bench.reprice import _use_database
from tests.factories import BranchFactory, PersonFactory, PortAverilFactory, UnitFactory

FEW, MANY = 1_000, int(os.environ.get("SEARCH_COUNT", "100000"))
UNITS, AT_ONCE, ROUNDS = 400, 2_000, 15
FIRST = [
    "Maren", "Tobias", "Henrike", "Ola", "Isbel", "Ruaridh", "Yusra", "Pavel", "Linnea", "Kofi", "Aoife", "Bastien",
    "Noor", "Ines", "Torvald", "Mirela",
]  # fmt: skip
ENDS = [
    "duya", "land", "gren", "svik", "mere", "holt", "rask", "wold", "anda", "etti", "sson", "berg", "ovic", "strand",
    "lund", "quist",
]  # fmt: skip
SAID = [
    "The awning squeaks at night", "A scratch on the left door was there", "The step is slow",
    "Gas ran out on day three",
]  # fmt: skip
ASKED = {
    "a plate": "q=lrk+1{n:03}", "a number": "q=LK-7{n:05}", "a name in full": "q={name}", "the first name": "q=Maren",
    "three letters of a name": "q=oly", "a part inside": "q=strand", "a day": "q=2020-01-{d:02}",
    "words": "q=scratch+on+the+left", "a word of all": "q=the", "nothing that is there": "q=zzzz",
    "one kind": "q=lund&kind=b", "a list of days": "start=2020-01-05&end=2020-02-05&kind=a",
    "by state": "q=maren&state=settled", "a list by state": "state=settled&kind=a",
}  # fmt: skip


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="levelpeg-bench-") as folder:
        file = Path(folder) / "search.sqlite3"
        _use_database(str(file))
        call_command("migrate", verbosity=0)
        client, made = _began(), 0
        few, many = {}, {}
        for count, taken in ((FEW, few), (MANY, many)):
            _grow(made, count)
            made, before = count, file.stat().st_size
            again = seconds(lambda: call_command("rebuild_search", verbosity=0))
            taken.update(_timed(client))
            say(f"{count:,} rentals: the search made anew", f"{again:.1f} s", f"database {before / 1e6:,.0f} MB before")
        for name in ASKED:
            say(f"search, {name}", f"{many[name] * 1e3:.1f} ms", f"{many[name] / few[name]:.2f} times as at {FEW:,}")
        ratio = sum(many.values()) / sum(few.values())
        say(f"search pages at {MANY:,} : at {FEW:,} rentals", f"{ratio:.2f}", "goal 1.5 or less")
        say("the worst of them", f"{max(many[name] / few[name] for name in ASKED):.2f}")
        say("queries of the page that asks most", f"{_most(client)}", "goal under 15")
        say("the database with its search", f"{file.stat().st_size / 1e6:,.0f} MB")
        _use_database(":memory:")


def _began() -> Client:
    branches = [BranchFactory(), PortAverilFactory()]
    for n in range(UNITS):
        UnitFactory(number=f"1{n:03}", branch=branches[n % 2])
    client = Client(HTTP_HOST="localhost")
    client.force_login(PersonFactory(username="ruth", role="manager", branches=branches))
    return client


def _timed(client: Client) -> dict[str, float]:
    """The median of each page, each time with another plate, number, name and day."""
    taken: dict[str, list[float]] = {name: [] for name in ASKED}
    draw = random.Random(7)  # noqa: S311 any will do
    for _ in range(ROUNDS):
        said = {
            "n": draw.randrange(UNITS),
            "d": draw.randrange(1, 28),
            "name": f"{draw.choice(FIRST)}+{_surname(draw)}",
        }
        for name, query in ASKED.items():
            address = f"/search/?{query.format(**said)}"
            taken[name].append(seconds(lambda address=address: _looked(client, address)))
    return {name: statistics.median(row[1:]) for name, row in taken.items()}


def _looked(client: Client, address: str) -> None:
    if client.get(address).status_code != 200:
        raise RuntimeError(address)


def _most(client: Client) -> int:
    most = 0
    for query in ASKED.values():
        with CaptureQueriesContext(connection) as asked:
            _looked(client, f"/search/?{query.format(n=7, d=7, name='Maren+Olduya')}")
        most = max(most, len(asked))
    return most


def _surname(draw: random.Random) -> str:
    """One of some thousands, as in a country."""
    vowels, signs = "aeiou", "bdfgklmnprstv"
    middle = (
        draw.choice(vowels) + draw.choice(signs) + draw.choice(vowels) if draw.random() < 0.8 else draw.choice(vowels)
    )
    return draw.choice(signs).upper() + middle + draw.choice(ENDS)


def _grow(have: int, count: int) -> None:
    """Past the actions: what they would write of a ledger is not looked at here."""
    draw, start = random.Random(have), perf_counter()  # noqa: S311
    units, by = list(Unit.objects.order_by("number")), Person.objects.get()
    sheet, _made = Sheet.objects.get_or_create(digest="0" * 64, defaults={"text": "{}"})
    for first in range(have, count, AT_ONCE):
        _add(range(first, min(first + AT_ONCE, count)), units, sheet, by, draw)
    say(f"{count:,} rentals written", f"{perf_counter() - start:.0f} s")


def _at(n: int) -> datetime:
    """Forty go out each day."""
    return datetime(2020, 1, 1, 9, tzinfo=UTC) + timedelta(days=n // 40, minutes=n % 40 * 12)


def _add(numbers: range, units: list[Unit], sheet: Sheet, by: Person, draw: random.Random) -> None:
    branches = {branch.pk: branch for branch in Branch.objects.all()}
    people = [Customer(name=f"{draw.choice(FIRST)} {_surname(draw)}") for _ in numbers]
    rentals, legs, walks, remarks, records = [], [], [], [], []
    for n, customer in zip(numbers, people, strict=True):
        unit = units[n % UNITS]
        out_at = _at(n)
        rental = Rental(
            number=f"LK-7{n:05}", branch=branches[unit.branch_id], customer=customer, planned_out_at=out_at,
            planned_back_at=out_at + timedelta(days=5), charged_days=5, state="settled" if n < MANY - 300 else "booked",
        )  # fmt: skip
        leg = Leg(rental=rental, unit=unit, started_at=out_at)
        walk = WalkRound(leg=leg, kind="pickup", sheet=sheet, started_at=out_at, started_by=by)
        rentals.append(rental)
        legs.append(leg)
        walks.append(walk)
        remarks.append(Remark(walk=walk, text=f"{draw.choice(SAID)}, {draw.choice(FIRST)}.", at=out_at, by=by))
        records.append(Record(rental=rental, leg=leg, kind="pickup", code=str(uuid7())[-9:].upper(), made_at=out_at))
    drivers = [Driver(rental=rental, name=rental.customer.name) for rental in rentals]
    for rows in (people, rentals, legs, drivers, walks, remarks, records):
        type(rows[0])._base_manager.bulk_create(rows)  # type: ignore[attr-defined]
