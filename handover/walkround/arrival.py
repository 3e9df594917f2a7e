"""How a unit came back: handed over, or found by its keys; and whether it is the one that is meant."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from fleet.models import Unit
from handover.acting import CannotBe
from handover.walkround.models import WalkRound
from handover.written import check_words
from shared.canonical import Json
from shared.ledger.personal import personal

Mode = WalkRound.Mode
NAME = 120


@dataclass(frozen=True, slots=True)
class KeyDrop:
    """Who found the keys and when. `until` is given when nobody saw it come: the latest that it can have been.

    The arrival itself is then the earliest, and lateness counts from it: what nobody saw is not the customer's to pay.
    `moved_first`: it was moved or washed before anybody looked at it.
    """

    found_at: datetime
    found_by: str
    until: datetime | None = None
    moved_first: bool = False

    def as_told(self) -> dict[str, Json]:
        told: dict[str, Json] = {
            "keys_found_at": self.found_at.isoformat(),
            "keys_found_by": personal(self.found_by.strip(), kind="keys.found_by"),
            "arrived_until": self.until.isoformat() if self.until else None,
        }
        return told | ({"moved_first": True} if self.moved_first else {})


def check_arrival(mode: str, drop: KeyDrop | None, *, arrived_at: datetime, now: datetime) -> None:
    """Raises CannotBe at the field that cannot be."""
    if mode not in Mode.values:
        raise CannotBe(_("Say who is here: the customer, nobody and the keys in the box, or nobody at all."), "mode")
    if mode != Mode.KEY_DROP:
        if drop is not None:
            raise CannotBe(_("Keys are found at a key drop only. Choose key drop, or leave them out."), "mode")
        return
    if drop is None or not drop.found_by.strip():
        raise CannotBe(_("Say who found the keys: everything else at a key drop rests on it."), "keys_found_by")
    check_words(drop.found_by, "keys_found_by", most=NAME)
    _check_times(drop, arrived_at, now)


def _check_times(drop: KeyDrop, arrived_at: datetime, now: datetime) -> None:
    if drop.found_at > now:
        raise CannotBe(_("The keys cannot be found later than now."), "keys_found_at")
    if drop.found_at < arrived_at:
        raise CannotBe(_("The keys were found before it was at the gate. One of the two times is wrong."), "arrived_at")
    if drop.until is not None and not arrived_at <= drop.until <= drop.found_at:
        raise CannotBe(
            _("The latest time lies between the earliest and when the keys were found. Leave it out if one is known."),
            "arrived_until",
        )


def check_plate(unit: Unit, typed: str) -> None:
    """Typed or scanned, to be sure to stand before the right vehicle; nothing typed is no check. Raises CannotBe."""
    if not typed.strip() or bare(typed) == bare(unit.plate):
        return
    raise CannotBe(
        _("%(seen)s is not the plate of unit %(number)s: that is %(plate)s. Another vehicle, or a letter mistyped?")
        % {"seen": typed.strip()[:NAME], "number": unit.number, "plate": unit.plate},
        "plate",
    )


def bare(plate: str) -> str:
    """Letters and digits alone: plates are written with and without their spaces."""
    return "".join(letter for letter in plate.upper() if letter.isalnum())
