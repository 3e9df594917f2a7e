"""Reads one row of a bookings file into what the booking action needs, or into every bad cell of the row."""

import re
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils import timezone
from django.utils.translation import gettext as _

from fleet.imports import cells
from fleet.imports.cells import BadCell
from fleet.imports.units import own_branch
from fleet.models import Branch, Unit
from handover.rental.booking import BookingDetails, ExtraPurchase
from handover.rental.models import ExtraOffer, Rental
from shared.access.models import Person
from shared.phrasebook import said

LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Z]{2})?")


def read_booking(row: Mapping[str, str], person: Person) -> tuple[Branch, BookingDetails]:
    """The branch and the details. Raises ValidationError with a sentence for each bad cell, by column."""
    reader = _Reader(row)
    plain = _plain_cells(reader)
    branch = reader.read("branch", lambda cell: own_branch(cell, person))
    of_branch = _cells_of_branch(reader, branch) if branch else {}
    if reader.refused:
        raise ValidationError(reader.refused)
    return branch, BookingDetails(**plain, **of_branch)


class _Reader:
    def __init__(self, row: Mapping[str, str]) -> None:
        self.row = row
        self.refused: dict[str, ValidationError] = {}

    def read(self, column: str, read: Callable[[str], Any]) -> Any:
        """The value of a cell, None when it was refused."""
        try:
            return read(str(self.row.get(column) or ""))
        except BadCell as problem:
            self.refused[column] = ValidationError(said(str(problem)))
            return None


def _plain_cells(reader: _Reader) -> dict[str, Any]:
    read = reader.read
    return {
        "reference": read("reference", _reference),
        "customer_name": read("customer", lambda cell: cells.text(cell, what=_("Write the name."), longest=120)),
        "email": read("email", _email),
        "phone": read("phone", lambda cell: cells.optional_text(cell, longest=40)),
        "language": read("language", _language),
        "charged_days": read("charged_days", lambda cell: cells.whole(cell, least=1)),
        "liability_option": read("liability_option", lambda cell: cells.optional_text(cell, longest=60)),
    }


def _cells_of_branch(reader: _Reader, branch: Branch) -> dict[str, Any]:
    """What only the branch gives a meaning: its units, clock, currency and Extras."""
    read = reader.read
    reference = str(reader.row.get("reference") or "").strip()
    if reference and Rental.objects.filter(branch=branch, outside_reference=reference).exists():
        reader.refused["reference"] = ValidationError(
            _("Booking %(reference)s is here already. A file only adds bookings.") % {"reference": reference}
        )
    out_at = read("planned_out_at", lambda cell: cells.wall_time(cell, branch.zone))
    return {
        "unit": read("unit", lambda cell: _unit(cell, branch)),
        "planned_out_at": out_at,
        "planned_back_at": read("planned_back_at", lambda cell: cells.wall_time(cell, branch.zone)),
        "excess": read("excess", lambda cell: cells.amount(cell, branch.currency)),
        "deposit_held": read("deposit_held", lambda cell: cells.amount(cell, branch.currency)),
        "extras": read("extras", lambda cell: _extras(cell, branch, out_at)),
    }


def _reference(cell: str) -> str:
    return cells.text(cell, what=_("The booking's own number keeps it from coming in twice."), longest=60)


def _email(cell: str) -> str:
    address = cell.strip()
    try:
        if address:
            validate_email(address)
    except ValidationError:
        raise BadCell(
            _("%(address)s is no e-mail address as name@example.org. It can also be empty.") % {"address": address}
        ) from None
    return address


def _language(cell: str) -> str:
    code = cell.strip() or "en"
    if not LANGUAGE.fullmatch(code):
        raise BadCell(_("%(code)s is no language as en, de or fr-CA.") % {"code": code})
    return code


def _unit(cell: str, branch: Branch) -> Unit:
    units = {unit.number: unit for unit in Unit.objects.filter(branch=branch, retired=False).select_related("branch")}
    plates = {unit.plate.casefold(): unit.number for unit in units.values()}
    wanted = cell.strip()
    if number := plates.get(wanted.casefold()):
        raise BadCell(
            _("%(wanted)s is a plate. Write the number of the unit: %(number)s.") % {"wanted": wanted, "number": number}
        )
    return units[cells.one_of(wanted, units, what=_("unit at %(branch)s") % {"branch": branch})]


def _extras(cell: str, branch: Branch, out_at: datetime | None) -> tuple[ExtraPurchase, ...]:
    """Sold with the booking: bought by the time of the pickup, even where the file comes in later."""
    offers = {offer.code: offer for offer in ExtraOffer.objects.filter(branch=branch, retired=False)}
    codes = [code.strip() for code in cell.split(";") if code.strip()]
    known = [cells.one_of(code, offers, what=_("Extra at %(branch)s") % {"branch": branch}) for code in codes]
    if twice := next((code for code in known if known.count(code) > 1), None):
        raise BadCell(_("%(twice)s is written twice. Each Extra is bought once.") % {"twice": twice})
    bought_at = min(timezone.now(), out_at) if out_at else timezone.now()
    return tuple(ExtraPurchase(offer=offers[code], purchased_at=bought_at) for code in known)
