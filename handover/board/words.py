"""What stands on a peg of the day board: one state, and words that say only what is known."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from fleet.models import DueDate
from handover.board.progress import Progress
from handover.customer.late.standing import later_than_planned
from handover.rental.models import Leg, Rental
from handover.walkround.models import Hold, WalkRound
from shared.money import money_text
from shared.phrasebook import inside
from shared.templatetags.figures import clock, day

State = Rental.State
SOON = timedelta(minutes=60)
GONE = {State.OUT, State.RETURN, State.BACK, State.SETTLED}


@dataclass(frozen=True, slots=True)
class Said:
    """`state` is the peg's class: done, now, ready, held or late. `lead` is set bold before the words."""

    state: str
    words: str
    lead: str = ""


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of one rental's leg at one moment. `elsewhere`: its unit is still out for another rental."""

    rental: Rental
    leg: Leg
    now: datetime
    is_today: bool
    due: DueDate | None = None
    elsewhere: bool = False
    walk: WalkRound | None = None
    progress: Progress | None = None
    hold: Hold | None = None
    jobs: int = 0


def pickup_said(known: Known) -> Said:
    rental = known.rental
    if rental.state in GONE:
        return Said(
            "done",
            _("Gone %(started_at)s") % {"started_at": clock(known.leg.started_at)}
            if known.leg.started_at
            else _("Gone"),
        )
    if known.hold:
        return Said("held", _("Held: %(item)s") % {"item": held_words(known.hold)})
    if rental.state == State.PICKUP:
        return Said("now", walking(known))
    if rental.state == State.SWAP:
        return Said("ready", _("Swap: unit %(unit)s waits") % {"unit": known.leg.unit.number})
    return waiting(known)


def barred_words(known: Known) -> str:
    """Why a pickup cannot begin now; empty where nothing stands in its way."""
    if known.due:
        return _("Held: %(due)s") % {"due": due_words(known.due)}
    if known.elsewhere:
        return _("Once it is back")
    if known.jobs:
        words = ngettext("Not ready: %(count)s job", "Not ready: %(count)s jobs", known.jobs)
        return words % {"count": known.jobs}
    return ""


def held_words(hold: Hold) -> str:
    """The check that failed, else the kind of cause: a tyre is worn."""
    return inside(hold.answer.item.text if hold.answer else str(hold.get_cause_display()))


def due_words(due: DueDate) -> str:
    return _("%(what)s due") % {"what": inside(due.get_kind_display())}


def waiting(known: Known) -> Said:
    if barred := barred_words(known):
        return Said("held" if known.due else "ready", barred)
    if not known.is_today:
        return Said("ready", _("Booked"))
    over = known.now - known.rental.planned_out_at
    if over >= timedelta(minutes=1):
        return Said("late", _("Not begun"), lead=_("%(time)s past.") % {"time": span(over)})
    return Said("ready", _("Ready"))


def walking(known: Known, *, lead: str = "") -> str:
    """How far, and by whom: beside a lead a peg has no room for the name."""
    if known.walk is None or known.progress is None:
        return _("Walk-round begun")
    return str(known.progress) if lead else f"{known.progress}, {known.walk.started_by.short_name}"


def return_said(known: Known) -> Said:
    rental = known.rental
    if rental.state == State.SWAP or (known.leg.number > 1 and rental.state == State.PICKUP):
        return Said("now", _("Unit swap under way"))
    if rental.state in {State.BOOKED, State.PICKUP}:
        return Said("ready", _("Not gone yet"))
    if rental.state == State.OUT:
        return _out(known)
    if rental.state == State.RETURN:
        late = lateness(known)
        return Said("now", walking(known, lead=late), lead=late)
    if rental.state == State.BACK:
        return Said("now", _("In, to settle"), lead=lateness(known))
    return Said("done", settled_words(rental))


def settled_words(rental: Rental) -> str:
    """The query of the board adds the latest statement's total and how the customer left it."""
    total, outcome = getattr(rental, "statement_total", None), getattr(rental, "statement_outcome", None)
    if total is None:
        return _("In")
    said = {"signed": _("statement signed"), "refused": _("signature refused"), "absent": _("customer absent")}
    return _("In, %(left)s %(total)s") % {
        "left": said.get(outcome or "", _("statement")),
        "total": money_text(total, rental.currency),
    }


def _out(known: Known) -> Said:
    left = known.rental.planned_back_at - known.now
    if left <= -timedelta(minutes=1):
        return Said("late", says_words(known), lead=_("%(time)s late") % {"time": span(-left)})
    if says := says_words(known):
        return Said("ready", says)
    if left <= SOON:
        return Said("ready", _("Due in %(left)s") % {"left": span(left)})
    return Said("ready", _("Out"))


def says_words(known: Known) -> str:
    """When the customer says they will be back, where that is later than planned; the query of the board adds it."""
    says = later_than_planned(known.rental, getattr(known.rental, "says_back_at", None))
    if says is None:
        return ""
    on_board = localtime(known.now if known.is_today else known.rental.planned_back_at).date()
    return _("Says %(time)s") % {"time": planned_text(says, on_board)}


def lateness(known: Known) -> str:
    """Counted to the arrival at the gate, not to when a host was free."""
    arrived = known.walk.arrived_at if known.walk else known.leg.ended_at
    if arrived is None or arrived - known.rental.planned_back_at < timedelta(minutes=1):
        return ""
    return _("%(time)s late.") % {"time": span(arrived - known.rental.planned_back_at)}


def span(time: timedelta) -> str:
    """1 h 47, 40 min, 2 days 3 h."""
    minutes = int(time.total_seconds() // 60)
    days, hours = divmod(minutes // 60, 24)
    if days:
        return ngettext("%(days)s day %(hours)s h", "%(days)s days %(hours)s h", days) % {"days": days, "hours": hours}
    return f"{hours} h {minutes % 60:02}" if hours else f"{minutes} min"


def planned_text(when: datetime, board_day: date) -> str:
    """The time alone on its own day, the day with it on another."""
    return clock(when) if localtime(when).date() == board_day else f"{day(when)}, {clock(when)}"
