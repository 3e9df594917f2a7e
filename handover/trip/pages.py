"""The small forms of a trip: for each event its words, the right it takes, its form, and the action it ends in."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from handover.acting import Act
from handover.customer.late.standing import later_than_planned
from handover.rental.models import Rental
from handover.trip import actions
from handover.trip import forms as typed
from handover.trip.models import TripEvent
from shared.access.roles import Right


@dataclass(frozen=True, slots=True)
class EventPage:
    """`url` names its address; `go` stands on the button; `states` in which it is offered, all when empty."""

    url: str
    title: str | Promise
    intro: str | Promise
    go: str | Promise
    right: Right
    form: type[typed.TripForm]
    do: Callable[[Rental, Any, Act], TripEvent]
    now: tuple[str, ...] = ()
    states: frozenset[str] = frozenset()

    def initial(self, rental: Rental) -> dict[str, Any]:
        """Times are most likely now; a return is asked from the one that the customer says, else the planned one.

        Of a rental from `rentals_with_trip`.
        """
        given: dict[str, Any] = typed.now_in(*self.now)
        says = later_than_planned(rental, getattr(rental, "says_back_at", None))
        given |= {"new_return_at": says or rental.planned_back_at, "currency": rental.currency}
        return {name: value for name, value in given.items() if name in self.form.base_fields}

    def offered(self, rental: Rental) -> bool:
        return not self.states or rental.state in self.states


def _said(act_on: Callable[..., Any], name: str) -> Callable[[Rental, Any, Act], Any]:
    """The action takes what the form says under this name."""
    return lambda rental, form, act: act_on(rental=rental, act=act, **{name: form.said()})


def _typed(act_on: Callable[..., Any]) -> Callable[[Rental, Any, Act], Any]:
    """The action takes the fields as they are."""
    return lambda rental, form, act: act_on(rental=rental, act=act, **form.cleaned_data)


State = Rental.State
EXTENSION = EventPage(
    "trip-extension", _("Extension"), _("More days on this rental. The next booking of the unit is looked at first."),
    _("Agree"), Right.BOOK, typed.ExtensionForm, _said(actions.agree_extension, "terms"), now=("agreed_at",),
)  # fmt: skip
SWAP = EventPage(
    "trip-swap", _("Unit swap"),
    _(
"First the return walk-round of the unit that is out, then the pickup walk-round of "
"the other. Prices stay those of the first pickup."
),
    _("Begin the swap"), Right.PICKUP, typed.SwapForm, _said(actions.begin_swap, "plan"), now=("at",),
    states=frozenset({State.OUT}),
)  # fmt: skip
OTHER_UNIT = EventPage(
    "trip-other-unit", _("Another unit"), _("The unit that waits stays here; another goes out in its place."),
    _("Take this unit"), Right.PICKUP, typed.OtherUnitForm, _typed(actions.choose_other_unit),
    states=frozenset({State.SWAP}),
)  # fmt: skip
FAULT = EventPage(
    "trip-fault", _("Fault reported"), _("A note made at the time counts for more than a memory."),
    _("Keep the report"), Right.BOOK, typed.FaultForm, _said(actions.note_fault, "fault"), now=("reported_at",),
)  # fmt: skip
ROADSIDE = EventPage(
    "trip-roadside", _("Roadside assistance"), _("What they found says whose cause it was."),
    _("Keep it"), Right.BOOK, typed.RoadsideForm, _said(actions.note_roadside, "call"), now=("arrived_at",),
)  # fmt: skip
RECEIPT = EventPage(
    "trip-receipt", _("Gas receipt"), _("Whether it is paid back follows from the rate card."),
    _("Keep the receipt"), Right.SETTLE, typed.ReceiptForm, _said(actions.note_gas_receipt, "receipt"),
)  # fmt: skip
WAIT = EventPage(
    "trip-wait", _("Waited on the branch"), _("Time spent waiting on the branch is never late."),
    _("Keep it"), Right.SETTLE, typed.WaitForm, _typed(actions.note_wait),
)  # fmt: skip
STOP = EventPage(
    "trip-stop", _("Lateness stops"), _("From then on nothing is late. Of several the earliest counts."),
    _("Keep it"), Right.SETTLE, typed.StopForm, _typed(actions.stop_lateness), now=("at",),
)  # fmt: skip
DISPLACED = EventPage(
    "trip-displaced", _("Next customer displaced"), _("What a late return cost the next customer, with its proof."),
    _("Keep it"), Right.SETTLE, typed.DisplacedForm, _typed(actions.note_displaced), now=("at",),
)  # fmt: skip
REDUCTION = EventPage(
    "trip-excess", _("Lower excess bought"),
    _("It counts for what happens from then on, and not for what has happened."),
    _("Keep it"), Right.BOOK, typed.ReductionForm, _said(actions.reduce_excess, "terms"), now=("bought_at", "from_at"),
    states=frozenset({State.OUT, State.SWAP, State.PICKUP, State.RETURN}),
)  # fmt: skip

EVENTS = (EXTENSION, SWAP, OTHER_UNIT, FAULT, ROADSIDE, RECEIPT, WAIT, STOP, DISPLACED, REDUCTION)
