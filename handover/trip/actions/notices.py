"""Fines and tolls: found by plate and local time, weeks later, settled or not."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.rental.models import Leg, Rental
from handover.settlement.amounts import check_amount
from handover.trip.guard import begin, said, words
from handover.trip.legs import leg_at
from handover.trip.models import Notice
from handover.walkround.arrival import bare
from shared.access.roles import Right
from shared.canonical import Json
from shared.clock import local
from shared.dates import dated

NOTED, TOLD = "trip.notice", "trip.notice_told"


@dataclass(frozen=True, slots=True)
class NoticeSaid:
    """`at` is the offence, an instant; `zone` whose clocks the notice shows it by. `penalty` is part of `amount`."""

    kind: str
    ref: str
    authority: str
    amount: Decimal
    plate: str
    at: datetime
    zone: str
    handling: str
    received_on: date
    place: str = ""
    deadline_on: date | None = None
    penalty: Decimal = Decimal(0)
    operator_caused: bool = False
    customer_told_on: date | None = None


def note_notice(*, notice: NoticeSaid, act: Act, rental: Rental | None = None) -> Notice:
    """Assigned to the rental and leg that had the unit then. Raises CannotBe, also when that is not `rental`."""
    leg = leg_at(notice.plate, notice.at)
    if rental is not None and leg.rental_id != rental.pk:
        raise CannotBe(
            _(
                "At that time unit %(unit)s was not with %(rental)s. Enter the notice from the day "
                "board: it finds its own rental."
            )
            % {"unit": leg.unit.number, "rental": rental.number},
            "at",
        )
    return _keep(leg, notice, act)


@transaction.atomic
def _keep(leg: Leg, notice: NoticeSaid, act: Act) -> Notice:
    rental = leg.rental
    if earlier := begin(rental, Notice, NOTED, Right.SETTLE, act):
        return earlier
    _check(rental, notice, act)
    kept = Notice.objects.create(
        id=act.key, rental=rental, leg=leg, at=notice.at, noted_at=act.at, by=act.by, kind=notice.kind,
        ref=notice.ref.strip(), authority=notice.authority.strip(), plate=_as_shown(leg, notice),
        place=notice.place.strip(),
        zone=notice.zone, amount=notice.amount, handling=notice.handling, received_on=notice.received_on,
        deadline_on=notice.deadline_on, penalty=notice.penalty, operator_caused=notice.operator_caused,
        operator_delay=_lay_here(notice, rental, act), customer_told_on=notice.customer_told_on,
    )  # fmt: skip
    act.write(chain=rental.pk, kind=NOTED, subject=kept.pk, payload=_told(kept))
    return kept


def _as_shown(leg: Leg, notice: NoticeSaid) -> str:
    """As the unit's plate is written; one that it had before as the notice writes it."""
    return leg.unit.plate if bare(leg.unit.plate) == bare(notice.plate) else notice.plate.strip()


def _lay_here(notice: NoticeSaid, rental: Rental, act: Act) -> bool:
    """In time when it came, past its deadline when somebody looked at it."""
    if notice.deadline_on is None or notice.received_on > notice.deadline_on:
        return False
    return local(act.at, rental.branch.zone).date() > notice.deadline_on


def _check(rental: Rental, notice: NoticeSaid, act: Act) -> None:
    if notice.kind not in Notice.Kind.values or notice.handling not in Notice.Handling.values:
        raise CannotBe(_("Say whether it is a fine or a toll, and who pays it."), "kind")
    if not notice.ref.strip() or not notice.authority.strip():
        raise CannotBe(_("A notice has a number and an authority that sent it."), "ref")
    if Notice.objects.filter(kind=notice.kind, ref=notice.ref.strip(), authority=notice.authority.strip()).exists():
        raise CannotBe(_("Notice %(ref)s is already here. It is charged once.") % {"ref": notice.ref.strip()}, "ref")
    check_amount(notice.amount, rental.currency, "amount", above_zero=True)
    check_amount(notice.penalty, rental.currency, "penalty")
    if notice.penalty > notice.amount:
        raise CannotBe(
            _("The penalty is part of the %(amount)s; it cannot be more.") % {"amount": notice.amount}, "penalty"
        )
    _check_days(rental, notice, act)


def _check_days(rental: Rental, notice: NoticeSaid, act: Act) -> None:
    if notice.at > act.at:
        raise CannotBe(
            _("%(at)s is still to come. Compare the year with the notice.") % {"at": said(notice.at, rental)}, "at"
        )
    if notice.received_on < local(notice.at, notice.zone).date():
        raise CannotBe(_("It cannot have come before the offence. Day and month may be swapped."), "received_on")
    if notice.received_on > local(act.at, rental.branch.zone).date():
        raise CannotBe(_("It cannot have come in the future. Give the day on which it came."), "received_on")
    if notice.customer_told_on is not None:
        _check_told(notice.customer_told_on, notice.received_on, rental, act)


def _check_told(told_on: date, received_on: date, rental: Rental, act: Act) -> None:
    if told_on < received_on:
        came = dated(received_on)
        raise CannotBe(
            _("It came on %(came)s; the customer cannot have a copy before that.") % {"came": came}, "customer_told_on"
        )
    if told_on > local(act.at, rental.branch.zone).date():
        raise CannotBe(_("That is still to come. Enter it once the copy is sent."), "customer_told_on")


def _told(notice: Notice) -> dict[str, Json]:
    """Offences are a person's own affair: number, authority and place stay out of the ledger."""
    return {
        "kind": notice.kind,
        "leg": notice.leg.number,
        "unit": notice.leg.unit.number,
        "at": local(notice.at, notice.zone).isoformat(timespec="minutes"),
        "zone": notice.zone,
        "amount": str(notice.amount),
        "penalty": str(notice.penalty),
        "handling": notice.handling,
        "received_on": notice.received_on.isoformat(),
        "deadline_on": notice.deadline_on.isoformat() if notice.deadline_on else None,
        "operator_delay": notice.operator_delay,
        "operator_caused": notice.operator_caused,
        "customer_told_on": notice.customer_told_on.isoformat() if notice.customer_told_on else None,
        "ref": words(notice.ref),
        "authority": words(notice.authority),
        "place": words(notice.place),
    }


@transaction.atomic
def tell_of_notice(*, notice: Notice, told_on: date, act: Act) -> Notice:
    """The customer has a copy: from then on it may be charged. Raises CannotBe."""
    rental = notice.rental
    if earlier := begin(rental, Notice, TOLD, Right.SETTLE, act):
        return earlier
    notice.refresh_from_db(fields=["customer_told_on"])
    if notice.customer_told_on:
        raise CannotBe(
            _("The customer has it since %(customer_told_on)s.") % {"customer_told_on": dated(notice.customer_told_on)},
            "customer_told_on",
        )
    _check_told(told_on, notice.received_on, rental, act)
    notice.customer_told_on = told_on
    notice.save(update_fields=["customer_told_on"])
    act.write(chain=rental.pk, kind=TOLD, subject=notice.pk, payload={"customer_told_on": told_on.isoformat()})
    return notice
