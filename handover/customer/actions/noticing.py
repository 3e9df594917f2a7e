"""What a customer noticed after the pickup was signed: kept beside it, with its time. What was signed stays."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from typing import TypeVar
from uuid import UUID

from django.db import transaction
from django.db.models import Model, QuerySet
from django.utils.translation import gettext as _

from handover.acting import AnyonesAct, CannotBe
from handover.customer.models import CustomerLink, Noticed, NoticedPhoto
from handover.customer.terms import may_report, terms_of
from handover.photo.taking_in import TakenIn
from handover.rental.models import Leg, Rental
from handover.walkround.models import Mark, WalkRound
from shared.canonical import Json
from shared.ledger.personal import personal

M = TypeVar("M", bound=Model)
KIND = "customer.noticed"
MOST_PHOTOS = 4
# A phone that sends again and again, or a link that went astray, must not fill the yard's disk.
MOST_IN_AN_HOUR, MOST_AT_ALL = 12, 120
HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class NoticedSaid:
    """`station` by its number on the sheet, None for somewhere else; `mark` one that the unit had already."""

    words: str
    place: str = ""
    station: int | None = None
    mark: UUID | None = None


@transaction.atomic
def note_noticed(
    link: CustomerLink, said: NoticedSaid, *, act: AnyonesAct, photos: Sequence[TakenIn] = ()
) -> Noticed:  # fmt: skip
    """By a customer whose link the caller has checked; photos are taken in before. Raises CannotBe."""
    rental = link.rental
    if earlier := act.replayed(Noticed, chain=rental.pk, kind=KIND):
        return earlier
    row = _row(link, said, act)
    row.save(force_insert=True)
    for photo in photos:
        NoticedPhoto.objects.create(noticed=row, **asdict(photo))
    act.write(chain=rental.pk, kind=KIND, subject=row.pk, payload=_told(row, photos))
    return row


@transaction.atomic
def was_told(link: CustomerLink, said: NoticedSaid, *, act: AnyonesAct) -> bool:
    """Whether it is kept already. Asked before photos are taken in: whoever sends what is refused, or the same again,
    leaves no file in the store. Raises CannotBe as note_noticed does.
    """
    if act.replayed(Noticed, chain=link.rental_id, kind=KIND):
        return True
    _row(link, said, act).check_written()
    return False


def _row(link: CustomerLink, said: NoticedSaid, act: AnyonesAct) -> Noticed:
    """Not saved. Raises CannotBe."""
    rental = link.rental
    leg, left_at = _leg_and_departure(rental, act.at)
    check_room(rental, act.at)
    if not said.words.strip():
        raise CannotBe(_("Nothing is written yet. Write in your own words what does not seem right."), "words")
    hours = max(0, int((act.at - left_at) / HOUR))
    in_time = act.at - left_at <= terms_of(rental.branch).notice_hours * HOUR
    return Noticed(
        id=act.key, rental=rental, leg=leg, link=link, station_number=_station(leg, said.station),
        place=said.place.strip(), mark=_mark(leg, said.mark), words=said.words.strip(), at=act.at,
        hours_after_pickup=hours, in_time=in_time,
    )  # fmt: skip


def _leg_and_departure(rental: Rental, at: datetime) -> tuple[Leg, datetime]:
    """The unit that the customer has or had last, and when they left with it."""
    rental.refresh_from_db(fields=["state", "frozen_at"])
    leg = rental.legs.filter(started_at__isnull=False).select_related("unit").last()
    if leg is None or leg.started_at is None or rental.frozen_at is None:
        raise CannotBe(_("The pickup is not signed yet: tell the host now, and it is written down."))
    if not may_report(rental, leg.ended_at, at):
        raise CannotBe(
            _("The time to report something here is over. Ring the branch, or write to it: it can still look into it.")
        )
    return leg, leg.started_at


def check_room(rental: Rental, at: datetime) -> None:
    """Before photos are looked at, which takes long. Raises CannotBe."""
    if is_crowded(Noticed.objects.filter(rental=rental), at):
        raise CannotBe(_("Many reports came in a short time; all are kept. Ring the branch about the next one."))


def is_crowded(before: QuerySet[M], at: datetime) -> bool:
    """Of rows that a customer sent for one rental, each with its time `at`."""
    return before.count() >= MOST_AT_ALL or before.filter(at__gt=at - HOUR).count() >= MOST_IN_AN_HOUR


def _station(leg: Leg, number: int | None) -> int | None:
    if number is None:
        return None
    walk = WalkRound.objects.filter(leg=leg, kind=WalkRound.Kind.PICKUP).select_related("sheet").first()
    if walk is None or walk.sheet.data.station(number) is None:
        raise CannotBe(_("Choose a place of the list."), "station")
    return number


def _mark(leg: Leg, pk: UUID | None) -> Mark | None:
    if pk is None:
        return None
    mark = Mark.objects.filter(pk=pk, unit=leg.unit).first()
    if mark is None:
        raise CannotBe(_("Choose a mark of the list."), "mark")
    return mark


def _told(row: Noticed, photos: Sequence[TakenIn]) -> dict[str, Json]:
    """The words and the place may name people: the ledger states digests, the values can be erased."""
    return {
        "link_sha256": row.link.digest,
        "leg": row.leg.number,
        "station": row.station_number,
        "mark": row.mark.number if row.mark else None,
        "hours_after_pickup": row.hours_after_pickup,
        "in_time": row.in_time,
        "words": personal(row.words, kind="customer.noticed"),
        "place": personal(row.place, kind="customer.noticed_place") if row.place else None,
        "photos": [{"sent_sha256": photo.sent_sha256, "kept_sha256": photo.kept_sha256} for photo in photos],
    }
