"""A return without the customer: nobody signs for them, what was found says so, and they have time to object."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from handover.rental.models import Rental
from handover.walkround.models import WalkRound
from shared.clock import local

Mode = WalkRound.Mode
# What is read, counted or looked at on a return: who was not there did not see it. Times and papers are not.
FOUND = frozenset({
    "CLEANING", "CYLINDER", "DAMAGE", "DISTANCE", "EQUIPMENT", "FUEL", "FUEL_SERVICE", "GAS", "GAS_SERVICE", "LABOUR",
    "LOCK_CHANGE", "LOSS_OF_USE", "RUBBISH", "SAFETY_KIT", "TOILET", "WASTE_TANK",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Absence:
    """The last return, on which the customer was not there."""

    walk: WalkRound
    zone: str

    @property
    def reason(self) -> str:
        """Kept in place of the signature, in the words of the house: it is evidence and never translated."""
        if self.walk.left_at:
            left = local(self.walk.left_at, self.zone)
            return f"Left before the end, {left:%-d %b %Y, %H:%M}: {self.walk.left_because}"
        if self.walk.mode != Mode.KEY_DROP:
            return "The customer had left when the vehicle was looked at."
        found = local(self.walk.keys_found_at, self.zone) if self.walk.keys_found_at else None
        if found is None:
            return "Key drop."
        return f"Key drop: keys found by {self.walk.keys_found_by}, {found:%-d %b %Y, %H:%M}."

    def found_alone(self, code: str, seen: Iterable[datetime]) -> bool:
        """Whether a line rests on what was found without the customer. `seen` are the times of what it rests on.

        Who was there until they left saw what was read before; what nobody knows the time of counts as unseen.
        """
        if code not in FOUND:
            return False
        times = list(seen)
        return not (self.walk.left_at and times and all(at < self.walk.left_at for at in times))


def absence_among(walks: Iterable[WalkRound], zone: str) -> Absence | None:
    """Of the walk-rounds of a rental; None where the customer was there, or nothing is back yet."""
    returns = sorted((walk for walk in walks if walk.is_return), key=lambda walk: walk.started_at)
    if not returns or returns[-1].mode == Mode.ATTENDED:
        return None
    return Absence(returns[-1], zone)


def absence_of(rental: Rental) -> Absence | None:
    return absence_among(WalkRound.objects.filter(leg__rental=rental), rental.branch.zone)


def objection_until(rental: Rental, *, today: date) -> date:
    """The last day to object, the branch's days counted from the day after."""
    return today + timedelta(days=rental.branch.objection_days)
