"""The demo: its own operator, one rental played from booking to sealed record, then the pages."""

from datetime import date, datetime, timedelta
from typing import Any

from django.core.files.storage import FileSystemStorage, storages
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from fleet.demo.loading import DemoFleet, load_fleet
from fleet.demo.people import DEMO_PASSWORD
from handover.demo.disputing import contest
from handover.demo.fills import load_fills
from handover.demo.nights import plan_demo_trips
from handover.demo.playing import play, send_out
from handover.demo.setup import load_bookings
from handover.demo.telling import told
from handover.demo.yard import do_jobs
from handover.record.keys import trusted_roots
from handover.record.models import Record
from handover.record.verify import verify
from handover.rental.models import Rental
from handover.statement.models import Statement
from handover.walkround.models import WalkRound
from shared.clock import local
from shared.files.store import read

ADDRESS = "127.0.0.1:8000"


class Command(BaseCommand):
    help = "Sets up Larkmoor Campers, plays one whole rental, prints its statement and records, then serves the pages."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="stop before serving")

    def handle(self, *args: Any, **options: Any) -> None:
        self._step("Making the tables")
        call_command("migrate", verbosity=0)
        day = self._play_day()
        self._step("Setting up Larkmoor Campers: branches, layouts, units, people, rate cards, bookings")
        fleet = load_fleet(today=timezone.localdate())
        load_fills(fleet, now=timezone.now())
        rental = load_bookings(fleet, today=timezone.localdate(), played_back_on=day)
        still_open = Rental.objects.filter(state=Rental.State.BOOKED).select_related("branch", "customer")
        plan_demo_trips(still_open, by=fleet.people["maeve"])
        self._send_out(fleet, rental)
        statement = self._statement(rental, fleet, day)
        do_jobs(WalkRound.objects.get(leg__rental=rental, kind="return"), crew=fleet.people["callum"])
        self.stdout.write(told(statement))
        self._records(rental)
        dispute = contest(statement, now=timezone.now())
        self._step(f"{dispute}, open, of {rental.number}: {dispute.title}")
        self._step("Day seals: every day that is over is signed")
        call_command("seal_day", stdout=self.stdout)
        if not options["no_serve"]:
            self._serve(fleet)

    def _send_out(self, fleet: DemoFleet, played: Rental) -> None:
        """Who left on an earlier day is out by now."""
        hosts = {"inverlark": fleet.people["isla"], "port-averil": fleet.people["ida"]}
        earlier = Rental.objects.filter(state=Rental.State.BOOKED, planned_out_at__date__lt=timezone.localdate())
        for rental in earlier.exclude(pk=played.pk).select_related("branch", "customer"):
            self._step(f"Out since {rental.planned_out_at:%d %b}: {rental.customer}")
            send_out(rental, host=hosts[rental.branch.code])

    def _play_day(self) -> date:
        """Today once the day is old enough for a return at 11:47 and its statement; else yesterday."""
        here = local(timezone.now(), "Europe/London")
        return here.date() if (here.hour, here.minute) >= (12, 45) else here.date() - timedelta(days=1)

    def _statement(self, rental: Rental, fleet: DemoFleet, day: date) -> Statement:
        if rental.state == Rental.State.SETTLED:
            self._step(f"{rental.number} was played before; here it is")
            return rental.statements.latest("version")
        return play(
            rental, host=fleet.people["isla"], bay=fleet.people["callum"], back_on=day, say=self._step
        )  # fmt: skip

    def _records(self, rental: Rental) -> None:
        self._step("Records: rendered, sealed, verified")
        for record in Record.objects.filter(rental=rental):
            if record.state != Record.State.READY:
                raise CommandError(f"Record {record} {record.get_state_display()}: {record.problem}")
            verdict = verify(read(record.file), roots=trusted_roots())
            path = _where(record)
            self.stdout.write(f"  {record.get_kind_display():7} {path}")
            for sentence in verdict.sentences:
                self.stdout.write(f"          {sentence}")
            if not verdict.valid:
                raise CommandError(f"Record {record} is not valid.")

    def _serve(self, fleet: DemoFleet) -> None:
        self.stdout.write(f"\nOpen http://{ADDRESS}/ and sign in. Password for all: {DEMO_PASSWORD}")
        for name, person in sorted(fleet.people.items()):
            self.stdout.write(f"  {name:8} {person}, {person.get_role_display().lower()}")
        self.stdout.write(f"Setting up (maeve, anders): http://{ADDRESS}/setting-up/\n")
        call_command("runserver", ADDRESS, use_reloader=False)

    def _step(self, text: str) -> None:
        self.stdout.write(self.style.MIGRATE_HEADING(f"{datetime.now():%H:%M:%S}  {text}"))  # noqa: DTZ005
        self.stdout.flush()


def _where(record: Record) -> str:
    """The record's file on this machine, or its name in the store."""
    store = storages["evidence"]
    return store.path(record.file) if isinstance(store, FileSystemStorage) else record.file
