"""A day in an address or a field, and two of them as a span: read once, refused in the same words everywhere."""

from datetime import date

from django.utils.translation import gettext as _

from handover.acting import CannotBe
from shared.clock import YEARS
from shared.dates import dated


def day_said(text: str, field: str) -> date | None:
    """2026-08-18; None where nothing is said. Raises CannotBe at the field."""
    if not text.strip():
        return None
    try:
        day = date.fromisoformat(text.strip())
    except ValueError as problem:
        raise CannotBe(
            _("%(text)s is no day. Write it as 2026-08-18.") % {"text": text.strip()[:40]}, field
        ) from problem
    if day.year not in YEARS:
        raise CannotBe(
            _("%(year)s is no year of a rental. Write the day as 2026-08-18.") % {"year": format(day.year, "04")}, field
        )
    return day


def check_order(start: date, end: date) -> None:
    """Raises CannotBe at the field `end` when it lies before `start`."""
    if end < start:
        raise CannotBe(
            _("%(end)s is before %(start)s. The two may be swapped.") % {"end": dated(end), "start": dated(start)},
            "end",
        )
