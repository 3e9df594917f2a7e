"""Reads one cell of a CSV file, or refuses it with a sentence: what cannot be, what can, what may be meant."""

import re
from collections.abc import Iterable
from datetime import date, datetime
from decimal import ROUND_HALF_UP, Decimal
from difflib import get_close_matches

from django.utils.translation import gettext as _

from shared.clock import YEARS, NoSuchTime, TwiceThatDay, from_wall, zone_of
from shared.money import exponent
from shared.phrasebook import said
from shared.quantities import Unreadable, parse_quantity

YES = frozenset({"yes", "true", "1", "y"})
NO = frozenset({"no", "false", "0", "n", ""})
AMOUNT = re.compile(r"-?\d+(\.\d+)?")
WHOLE = re.compile(r"-?\d{1,6}")


class BadCell(ValueError):
    """The sentence to show at the cell."""


def given(cell: str, what: str) -> str:
    """What is written, which has to be something. `what` says what can be."""
    written = cell.strip()
    if not written:
        raise BadCell(_("Nothing is written here. %(what)s") % {"what": what})
    return written


def text(cell: str, *, what: str, longest: int) -> str:
    """Words in one line, which have to be there. `what` says what they are."""
    return given(optional_text(cell, longest=longest), what)


def optional_text(cell: str, *, longest: int) -> str:
    words = " ".join(cell.split())
    if len(words) > longest:
        raise BadCell(
            _("%(words)s… has %(count)s letters. There is room for %(longest)s.")
            % {"words": words[:20], "count": len(words), "longest": longest}
        )
    return words


def one_of(cell: str, known: Iterable[str], *, what: str) -> str:
    """A code that has to be known, in any case of letters. `what` names the kind, such as "branch of yours"."""
    codes = sorted(known)
    wanted = given(cell, _("Known: %(codes)s.") % {"codes": ", ".join(codes)})
    found = next((code for code in codes if code.casefold() == wanted.casefold()), None)
    if found is None:
        raise BadCell(_unknown(wanted, codes, what))
    return found


def _unknown(wanted: str, codes: list[str], what: str) -> str:
    if not codes:
        return _("There is no %(what)s yet. Set one up first.") % {"what": what}
    near = get_close_matches(wanted, codes, n=1)
    meant = _(" %(near)s may be meant.") % {"near": near[0]} if near else ""
    return _("%(wanted)s is no %(what)s. Known: %(codes)s.%(meant)s") % {
        "wanted": wanted,
        "what": what,
        "codes": ", ".join(codes),
        "meant": meant,
    }


def yes_no(cell: str) -> bool:
    word = cell.strip().casefold()
    if word not in YES | NO:
        raise BadCell(_("%(cell)s is neither yes nor no. Write yes or no.") % {"cell": cell.strip()})
    return word in YES


def iso_date(cell: str) -> date:
    written = given(cell, _("Write a date as 2026-08-18."))
    try:
        return date.fromisoformat(written)
    except ValueError:
        raise BadCell(_("%(written)s is no date as 2026-08-18: year, month, day.") % {"written": written}) from None


def odometer_km(cell: str) -> int:
    """Whole kilometres from a figure that names its unit: 41206 mi or 66314 km."""
    can = _("Write it as 41206 mi or 66314 km.")
    written = given(cell, can)
    if not re.search(r"[^\d\s.,'’-]", written):
        raise BadCell(_("%(written)s names no unit. %(can)s") % {"written": written, "can": can})
    try:
        value = parse_quantity(written, dimension="distance", default_unit="km")
    except Unreadable as problem:
        raise BadCell(said(str(problem))) from problem
    return int(value.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def whole(cell: str, *, least: int) -> int:
    can = _("Write %(least)s or more, such as %(example)s.") % {"least": least, "example": least + 3}
    written = given(cell, can)
    if not WHOLE.fullmatch(written):
        raise BadCell(_("%(written)s is no whole number. %(can)s") % {"written": written, "can": can})
    if int(written) < least:
        raise BadCell(_("%(written)s cannot be. %(least)s or more can.") % {"written": written, "least": least})
    return int(written)


def amount(cell: str, currency: str) -> Decimal:
    """An amount with a decimal point and no sign, 0 when nothing is written."""
    written = cell.strip() or "0"
    if not AMOUNT.fullmatch(written):
        raise BadCell(
            _("%(written)s is no amount. Write figures and a point, such as %(example)s.")
            % {"written": written, "example": sample(currency)}
        )
    value = Decimal(written)
    if value < 0:
        raise BadCell(_("%(written)s is below zero. Write 0 or more.") % {"written": written})
    decimals = len(written.partition(".")[2].rstrip("0"))
    if decimals > exponent(currency):
        raise BadCell(
            _("%(written)s has %(decimals)s decimals, %(currency)s has %(allowed)s.")
            % {"written": written, "decimals": decimals, "currency": currency, "allowed": exponent(currency)}
        )
    return value


def sample(currency: str) -> str:
    return f"{Decimal(500):.{exponent(currency)}f}"


def wall_time(cell: str, zone: str) -> datetime:
    """The instant of a branch's local time. An hour that comes twice needs its offset: 2026-10-25 01:30+01:00."""
    wall = _date_and_time(given(cell, _("Write the local time of the branch as 2026-08-18 10:00.")))
    try:
        return from_wall(wall, zone) if wall.tzinfo is None else _with_offset(wall, zone)
    except NoSuchTime as problem:
        raise BadCell(said(str(problem))) from problem
    except TwiceThatDay as problem:
        raise BadCell(
            _("%(problem)s Write the offset behind it, as in %(example)s.")
            % {"problem": said(str(problem)), "example": _first_of(wall, zone)}
        ) from problem


def _date_and_time(written: str) -> datetime:
    try:
        wall = datetime.fromisoformat(written)
    except ValueError:
        wall = None
    if wall is None or len(written) < len("2026-08-18 10:00"):
        raise BadCell(
            _("%(written)s is no date and time as 2026-08-18 10:00, local time of the branch.") % {"written": written}
        )
    if wall.year not in YEARS:
        raise BadCell(
            _("%(year)s is no year of a rental. Write the year with four figures, such as 2026.")
            % {"year": format(wall.year, "04")}
        )
    return wall


def wall_text(when: datetime, zone: str) -> str:
    """As wall_time() reads it: local time, with its offset only in the hour that comes twice."""
    here = when.astimezone(zone_of(zone))
    twice = here.utcoffset() != here.replace(fold=1 - here.fold).utcoffset()
    return (here if twice else here.replace(tzinfo=None)).isoformat(" ", "minutes")


def _with_offset(when: datetime, zone: str) -> datetime:
    here = when.astimezone(zone_of(zone))
    if here.utcoffset() != when.utcoffset():
        meant = here.isoformat(" ", "minutes")
        raise BadCell(
            _("%(when)s has not the offset of %(zone)s. %(meant)s is the same moment.")
            % {"when": when.isoformat(" ", "minutes"), "zone": zone, "meant": meant}
        )
    return when


def _first_of(wall: datetime, zone: str) -> str:
    return from_wall(wall, zone, fold=0).astimezone(zone_of(zone)).isoformat(" ", "minutes")
