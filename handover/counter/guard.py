"""What every action of the counter checks first, and that nothing found too late costs the customer more."""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from typing import TypeVar

from django.db.models import Model
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.counter.limits import cut_off_hours
from handover.rental.models import Rental
from handover.statement.actions import priced
from shared.access.roles import Right
from shared.access.scope import require
from shared.clock import local
from shared.dates import moment_text
from shared.phrasebook import inside

M = TypeVar("M", bound=Model)
BACK = frozenset({Rental.State.BACK})
BEING_LOOKED_AT = frozenset({Rental.State.RETURN, Rental.State.BACK})


def begin(
    rental: Rental, model: type[M], kind: str, act: Act, *, right: Right = Right.SETTLE,
    states: Collection[str] = BACK,
) -> M | None:  # fmt: skip
    """Checks the right, finds a replay, then refuses what is settled. Call it first in the transaction."""
    require(act.by, right, rental.branch_id)
    if earlier := act.replayed(model, chain=rental.pk, kind=kind):
        return earlier
    rental.refresh_from_db(fields=["state"])
    if rental.state == Rental.State.SETTLED:
        raise CannotBe(
            _("%(rental)s is settled. A manager can open it again, with the cause.") % {"rental": rental.number}
        )
    if rental.state not in states:
        raise CannotBe(
            _("%(rental)s is %(state)s: this comes once it is back.")
            % {"rental": rental.number, "state": inside(rental.get_state_display())}
        )
    return None


@contextmanager
def never_dearer_after_the_cut_off(rental: Rental, act: Act) -> Iterator[None]:
    """Around what is written: after the announced time it may lower what is owed, never raise it. Raises CannotBe."""
    last = cut_off(rental)
    if last is None or act.at <= last:
        yield
        return
    before = priced(rental)[2]
    yield
    if priced(rental)[2] > before:
        until = local(last, rental.branch.zone)
        raise CannotBe(
            _(
                "Late findings were announced until %(until)s. What costs the customer more is not "
                "charged any more; what costs less can still be entered."
            )
            % {"until": moment_text(until)}
        )


def cut_off(rental: Rental) -> datetime | None:
    """The last moment for a finding in the branch's favour; None while it is not back."""
    leg = rental.legs.last()
    if leg is None or leg.ended_at is None or rental.frozen is None:
        return None
    return leg.ended_at + timedelta(minutes=int(cut_off_hours(rental.frozen["rules"]) * 60))


def needed(text: str, field: str, sentence: str) -> str:
    """The text without its edges. Raises CannotBe with the sentence when nothing is written."""
    if not text.strip():
        raise CannotBe(sentence, field)
    return text.strip()
