"""What the customer's page shows, in a fixed number of queries."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from consumables.dimensions import size_in_both
from fleet.models import EmergencyStep, Unit
from handover.customer.bring_back import BringBack, bring_back
from handover.customer.days import Days, days_svg
from handover.customer.late.standing import late_said, may_announce
from handover.customer.late.terms import LateTerms, late_terms
from handover.customer.models import LateAnnounced, Noticed
from handover.customer.opening import Visit
from handover.customer.records import RecordRow, records_of
from handover.customer.terms import may_report
from handover.rental.models import Leg, Rental
from handover.statement.models import Statement
from handover.walkround.models import WalkRound
from shared.clock import local
from shared.dates import clock_text, dated, long_day, weekday, weekday_short
from shared.units import quantity

State = Rental.State
WAITS = frozenset({State.BOOKED, State.PICKUP})
IS_BACK = frozenset({State.BACK, State.SETTLED})


@dataclass(frozen=True, slots=True)
class CustomerPage:
    """`days` is the line of the trip, empty once it is back; `topics` how many can be read again.

    `late_terms` and `late_said` are of while it is out: what lateness costs, and what was said of it last.
    `steps` pairs what to do in an emergency with what the phone dials, empty where several numbers stand there.
    """

    visit: Visit
    leg: Leg
    heading: str
    days: SafeString
    bring_back: BringBack | None
    records: Sequence[RecordRow]
    statement: Statement | None
    noticed: Sequence[Noticed]
    late_terms: LateTerms | None
    late_said: LateAnnounced | None
    may_report: bool
    topics: int
    steps: Sequence[tuple[EmergencyStep, str]]

    @property
    def rental(self) -> Rental:
        return self.visit.rental

    @property
    def unit(self) -> Unit:
        return self.leg.unit

    @property
    def height(self) -> str:
        return size_in_both(quantity(self.unit.layout.height_mm, "mm")).metric

    @property
    def may_announce(self) -> bool:
        return may_announce(self.rental)

    @property
    def is_back(self) -> bool:
        return self.rental.state in IS_BACK


def customer_page(visit: Visit) -> CustomerPage:
    """With the branch's zone and the customer's language active."""
    rental = visit.rental
    legs = list(rental.legs.select_related("unit__layout"))
    pickup = pickup_of(legs[-1])
    is_back = rental.state in IS_BACK
    return CustomerPage(
        visit=visit,
        leg=legs[-1],
        heading=_heading(rental, visit),
        days=mark_safe("" if is_back else days_svg(_days(rental, visit))),  # noqa: S308 - drawn from dates, words escaped
        bring_back=None if is_back else bring_back(rental, pickup),
        records=records_of(rental),
        statement=rental.statements.defer("inputs", "result").last(),
        noticed=list(Noticed.objects.filter(rental=rental).prefetch_related("photos")),
        late_terms=late_terms(rental) if may_announce(rental) else None,
        late_said=late_said(rental) if may_announce(rental) else None,
        may_report=may_report(rental, legs[-1].ended_at, visit.at),
        topics=sum(len(station.topics) for station in pickup.sheet.data.stations) if pickup else 0,
        steps=[(step, dialled(step.number)) for step in rental.branch.emergency_steps.all()],
    )


def dialled(number: str) -> str:
    """01632 960407 as 01632960407; empty for none, and for words such as "999 or 112"."""
    return re.sub(r"[ ()/-]", "", number) if re.fullmatch(r"\+?[0-9][0-9 ()/-]{1,}", number.strip()) else ""


def pickup_of(leg: Leg) -> WalkRound | None:
    """The pickup that ended, with its sheet."""
    rows = WalkRound.objects.filter(leg=leg, kind=WalkRound.Kind.PICKUP, finished_at__isnull=False)
    return rows.select_related("sheet").first()


def _ends(rental: Rental) -> tuple[date, date]:
    out, back = (local(at, rental.branch.zone).date() for at in (rental.planned_out_at, rental.planned_back_at))
    return out, back


def _heading(rental: Rental, visit: Visit) -> str:
    first, last = _ends(rental)
    today = local(visit.at, rental.branch.zone).date()
    if rental.state in WAITS:
        at = local(rental.planned_out_at, rental.branch.zone)
        return _("Pickup %(day)s, %(time)s") % {"day": long_day(at), "time": clock_text(at)}
    if rental.state == State.SETTLED:
        return _("Back and settled")
    if rental.state == State.BACK:
        return _("Back: what is owed")
    if rental.state == State.RETURN:
        return _("Being taken back")
    if today > last:
        return _("Was due back %(day)s") % {"day": dated(last)}
    return _("Day %(day)s of %(days)s") % {"day": max((today - first).days + 1, 1), "days": (last - first).days + 1}


def _days(rental: Rental, visit: Visit) -> Days:
    first, last = _ends(rental)
    today = local(visit.at, rental.branch.zone).date()
    back_at = local(rental.planned_back_at, rental.branch.zone)
    said = {
        "first": weekday(first), "last": weekday(last), "today": weekday(today), "time": clock_text(back_at),
    }  # fmt: skip
    sentence = (
        _("%(first)s to %(last)s. Today is %(today)s. Back by %(last)s %(time)s.")
        if first <= today <= last
        else _("%(first)s to %(last)s. Back by %(last)s %(time)s.")
    )
    return Days(
        first, last, today,
        names=[weekday_short(first + timedelta(days=day)) for day in range((last - first).days + 1)],
        back=pgettext("weekday and time of the return", "%(day)s %(time)s")
        % {"day": weekday_short(last), "time": clock_text(back_at)},
        label=sentence % said,
    )  # fmt: skip
