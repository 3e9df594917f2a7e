"""What stands on a peg of the day board: one state, and words that say only what is known."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.timezone import localtime

from fleet.models import DueDate
from handover.board.progress import Progress
from handover.rental.models import Leg, Rental
from handover.walkround.models import Hold, WalkRound
from shared.money import money_text
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


def pickup_said(known: Known) -> Said:
    rental = known.rental
    if rental.state in GONE:
        return Said("done", f"Gone {clock(known.leg.started_at)}" if known.leg.started_at else "Gone")
    if known.hold:
        return Said("held", f"Held: {known.hold.answer.item.text.lower()}")
    if rental.state == State.PICKUP:
        return Said("now", walking(known))
    if rental.state == State.SWAP:
        return Said("ready", f"Swap: unit {known.leg.unit.number} waits")
    if known.due:
        return Said("held", f"Held: {due_words(known.due)}")
    return waiting(known)


def due_words(due: DueDate) -> str:
    return f"{due.get_kind_display().lower()} due"


def waiting(known: Known) -> Said:
    if known.elsewhere:
        return Said("ready", "Once it is back")
    if not known.is_today:
        return Said("ready", "Booked")
    over = known.now - known.rental.planned_out_at
    if over >= timedelta(minutes=1):
        return Said("late", "Not begun", lead=f"{span(over)} past.")
    return Said("ready", "Ready")


def walking(known: Known) -> str:
    if known.walk is None or known.progress is None:
        return "Walk-round begun"
    return f"{known.progress}, {known.walk.started_by.short_name}"


def return_said(known: Known) -> Said:
    rental = known.rental
    if rental.state == State.SWAP or (known.leg.number > 1 and rental.state == State.PICKUP):
        return Said("now", "Unit swap under way")
    if rental.state in {State.BOOKED, State.PICKUP}:
        return Said("ready", "Not gone yet")
    if rental.state == State.OUT:
        return _out(known)
    if rental.state == State.RETURN:
        return Said("now", walking(known), lead=lateness(known))
    if rental.state == State.BACK:
        return Said("now", "In, to settle", lead=lateness(known))
    return Said("done", settled_words(rental))


def settled_words(rental: Rental) -> str:
    """The query of the board adds the latest statement's total and how the customer left it."""
    total, outcome = getattr(rental, "statement_total", None), getattr(rental, "statement_outcome", None)
    if total is None:
        return "In"
    said = {"signed": "statement signed", "refused": "signature refused", "absent": "customer absent"}
    return f"In, {said.get(outcome or '', 'statement')} {money_text(total, rental.currency)}"


def _out(known: Known) -> Said:
    left = known.rental.planned_back_at - known.now
    if left <= -timedelta(minutes=1):
        return Said("late", "", lead=f"{span(-left)} late")
    if left <= SOON:
        return Said("ready", f"Due in {span(left)}")
    return Said("ready", "Out")


def lateness(known: Known) -> str:
    """Counted to the arrival at the gate, not to when a host was free."""
    arrived = known.walk.arrived_at if known.walk else known.leg.ended_at
    if arrived is None or arrived - known.rental.planned_back_at < timedelta(minutes=1):
        return ""
    return f"{span(arrived - known.rental.planned_back_at)} late."


def span(time: timedelta) -> str:
    """1 h 47, 40 min, 2 days 3 h."""
    minutes = int(time.total_seconds() // 60)
    days, hours = divmod(minutes // 60, 24)
    if days:
        return f"{days} day{'s' if days > 1 else ''} {hours} h"
    return f"{hours} h {minutes % 60:02}" if hours else f"{minutes} min"


def planned_text(when: datetime, board_day: date) -> str:
    """The time alone on its own day, the day with it on another."""
    return clock(when) if localtime(when).date() == board_day else f"{day(when)}, {clock(when)}"
