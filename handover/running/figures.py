"""What a host's day needs to know of the server, as figures read from the database in a fixed number of queries."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count, Max, Min, Model, Q
from django.utils import timezone

from handover.customer.models import LinkDelivery
from handover.dispute.models import Bundle, Letter
from handover.record.expiring import seal_days_left
from handover.record.models import Record
from handover.tablet.models import Receipt, Upload
from handover.walkround.models import WalkRound
from shared.ledger.days import days_to_seal
from shared.running.models import Mark
from shared.running.tasks import counts, oldest_ready

HALF_ARRIVED = Q(whole_at=None, refused="")
LATELY = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Queue:
    """Of what waits; the oldest is aware, None when nothing waits."""

    waiting: int
    failed: int
    oldest: datetime | None = None


@dataclass(frozen=True, slots=True)
class Figures:
    """Ages in seconds, None where there is nothing to be old.

    unsent_s: of the tablets with a walk-round under way, how long the most silent one has sent nothing.
    late_s: how long the latest-come entry of the last hour had been on its tablet.
    """

    unsent_s: float | None
    late_s: float | None
    held: int
    held_oldest_s: float | None
    half_arrived: int
    half_arrived_oldest_s: float | None
    renders: Queue
    mail: Queue
    tasks: Mapping[str, int]
    task_oldest_s: float | None
    ledger_s: float | None
    ledger_held: bool | None
    backup_s: float | None
    seal_days: int | None
    unsealed_days: int
    at: datetime = field(default_factory=timezone.now)


def figures(now: datetime) -> Figures:
    held = Receipt.objects.filter(outcome=Receipt.Outcome.HELD, settled_at=None)
    held_found = held.aggregate(count=Count("pk"), oldest=Min("received_at"))
    half = Upload.objects.filter(HALF_ARRIVED).aggregate(count=Count("pk"), oldest=Min("begun_at"))
    marks = {mark.of: mark for mark in Mark.objects.all()}
    ledger, backup = marks.get(Mark.Of.LEDGER), marks.get(Mark.Of.BACKUP)
    return Figures(
        unsent_s=_age(now, _silent_since()), late_s=_late(now),
        held=held_found["count"], held_oldest_s=_age(now, held_found["oldest"]),
        half_arrived=half["count"], half_arrived_oldest_s=_age(now, half["oldest"]),
        renders=_renders(), mail=_queue(LinkDelivery, "at"),
        tasks=counts(), task_oldest_s=_age(now, oldest_ready()),
        ledger_s=_age(now, ledger.at if ledger else None), ledger_held=ledger.went_well if ledger else None,
        backup_s=_age(now, backup.at if backup else None),
        seal_days=seal_days_left(now.date()), unsealed_days=len(days_to_seal(now)), at=now,
    )  # fmt: skip


def _silent_since() -> datetime | None:
    """The earliest of the last times that tablets with a walk-round under way sent something."""
    under_way = WalkRound.objects.filter(finished_at=None).values("pk")
    tablets = Receipt.objects.filter(walk_id__in=under_way).order_by().values("device")
    last = Receipt.objects.filter(device__in=tablets).order_by().values("device").annotate(last=Max("received_at"))
    return min((row["last"] for row in last), default=None)


def _late(now: datetime) -> float | None:
    """Read and compared here: the two databases subtract times differently."""
    came = Receipt.objects.filter(received_at__gte=now - LATELY, at__isnull=False).order_by()
    delays = [(received - at).total_seconds() for received, at in came.values_list("received_at", "at") if at]
    return max((*delays, 0.0)) if delays else None


def _renders() -> Queue:
    """Records, letters and bundles: what a customer or a card issuer waits for."""
    each = [_queue(Record, "made_at"), _queue(Letter, "ordered_at"), _queue(Bundle, "ordered_at")]
    oldest = min((one.oldest for one in each if one.oldest), default=None)
    return Queue(sum(one.waiting for one in each), sum(one.failed for one in each), oldest)


def _queue(model: type[Model], ordered: str) -> Queue:
    waits, failed = Q(state="waiting"), Q(state="failed")
    found: Mapping[str, Any] = model._base_manager.aggregate(
        waiting=Count("pk", filter=waits), failed=Count("pk", filter=failed), oldest=Min(ordered, filter=waits)
    )
    return Queue(found["waiting"], found["failed"], found["oldest"])


def _age(now: datetime, since: datetime | None) -> float | None:
    return None if since is None else max(0.0, (now - since).total_seconds())


def named(told: Figures) -> Iterable[tuple[str, str, float | None]]:
    """Each as a metric: its name, what it says, its value; None where there is none to tell."""
    yield (
        "unsent_age_seconds",
        "Since when the most silent tablet with a walk-round under way sent nothing",
        told.unsent_s,
    )
    yield "entry_delay_seconds", "How long the latest-come entry of the last hour had waited on its tablet", told.late_s
    yield "entries_held", "Entries of tablets that wait for a person", told.held
    yield "entries_held_oldest_seconds", "Since when the oldest of them waits", told.held_oldest_s
    yield "photos_half_arrived", "Photos of which not all bytes have come", told.half_arrived
    yield (
        "photos_half_arrived_oldest_seconds",
        "Since when the oldest of them is on its way",
        told.half_arrived_oldest_s,
    )
    yield "renders_waiting", "Records, letters and bundles that are to be made", told.renders.waiting
    yield "renders_oldest_seconds", "Since when the oldest of them is to be made", _age(told.at, told.renders.oldest)
    yield "renders_failed", "Records, letters and bundles that could not be made", told.renders.failed
    yield "mail_waiting", "E-mails on their way to customers", told.mail.waiting
    yield "mail_failed", "E-mails to customers that were not taken", told.mail.failed
    yield "task_oldest_ready_seconds", "Since when the oldest task waits for a worker", told.task_oldest_s
    yield "ledger_verified_age_seconds", "Since when the whole ledger was last checked", told.ledger_s
    yield "ledger_holds", "Whether it held then, 1 or 0", None if told.ledger_held is None else float(told.ledger_held)
    yield "backup_age_seconds", "Since when there is a backup", told.backup_s
    yield "certificate_days_left", "Days until the certificate that seals records ends", told.seal_days
    yield "days_unsealed", "Days that are over, have entries and no seal", told.unsealed_days
