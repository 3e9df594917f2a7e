"""Findings about what was read: on which instrument, with what doubt, put right since, and whether without a signal."""

from datetime import timedelta

from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.counter.fetching import read_off
from handover.dispute.evidence.finding import Finding, Found, Side, in_the_ledger, person_and_time
from handover.dispute.evidence.gathering import Gathered
from handover.dispute.evidence.photographs import Photographed
from handover.tablet.models import Receipt
from handover.walkround.models import Reading, WalkRound
from handover.walkround.page.figures import spoken
from shared.dates import dated_moment
from shared.phrasebook import inside, said

STAYED_ON_THE_TABLET = timedelta(minutes=2)
CLOCK_OFF = timedelta(seconds=30)


def readings(found: Gathered, shown: Photographed) -> Found:
    """Both, with the instrument and its doubt."""
    for walk in (found.out, found.back):
        row = found.reading(walk)
        if walk is not None and row is not None and found.thing.ask:
            yield from _reading(found, walk, row)


def _reading(found: Gathered, walk: WalkRound, row: Reading) -> Found:
    ask = found.thing.ask
    assert ask is not None  # noqa: S101 - asked for only where there is one
    rests, told = person_and_time(row.by, row.at), {"what": spoken(ask), "kind": inside(walk.get_kind_display())}
    if row.value is None:
        yield Finding(_("%(what)s at %(kind)s was not read.") % told, rests, Side.AGAINST)
        return
    told["value"] = read_off(ask, row.value, found.dispute.rental.branch.distance_unit)
    told |= {"half": f"{row.half_width.normalize():f}", "unit": ask.unit, "on": said(ask.instrument)}
    words = _("%(what)s at %(kind)s: %(value)s, read on the %(on)s, which may be off by %(half)s %(unit)s.")
    yield Finding(words % told, rests, Side.FOR)
    if row.doubt:
        so = _("looked at again and kept as it is") if row.is_so else _("nobody looked again")
        yield Finding(_("It was questioned when it was kept: %(doubt)s") % {"doubt": said(row.doubt)}, so, Side.AGAINST)
    if row.in_bulk:
        words = _("It was taken over with “Rest as last return”, not read by itself.")
        yield Finding(words, rests, Side.AGAINST)


def corrections(found: Gathered, shown: Photographed) -> Found:
    ids = {str(row.pk) for row in found.readings}
    for entry, told in found.told("reading.corrected"):
        if told["reading"] in ids:
            words = _("A reading was put right afterwards: %(was)s, now %(now)s %(unit)s.") % told
            yield Finding(words, in_the_ledger(entry), Side.FACT)


def offline(found: Gathered, shown: Photographed) -> Found:
    """What came later than it was told, and clocks that did not agree."""
    for receipt in found.receipts.values():
        late = receipt.received_at - receipt.at if receipt.at else timedelta()
        skew = timedelta(milliseconds=receipt.skew_ms)
        if late < STAYED_ON_THE_TABLET and abs(skew) < CLOCK_OFF:
            continue
        where = _("Read offline") if late >= STAYED_ON_THE_TABLET else _("Read with a signal")
        words = _("%(where)s, %(clock)s.") % {"where": where, "clock": _clock(skew)}
        yield Finding(words, _receipt_words(receipt, late))
    for entry, _told in found.told("walk.shown_offline"):
        yield Finding(
            _("Signed on a tablet without a signal; what it showed is kept."),
            in_the_ledger(entry),
        )


def _clock(skew: timedelta) -> str:
    minutes = round(abs(skew) / timedelta(minutes=1))
    if abs(skew) < CLOCK_OFF:
        return _("clock right to half a minute")
    if not minutes:
        return _("clock less than a minute off")
    words = (
        ngettext("clock %(minutes)s min behind", "clock %(minutes)s min behind", minutes)
        if skew < timedelta()
        else ngettext("clock %(minutes)s min ahead", "clock %(minutes)s min ahead", minutes)
    )
    return words % {"minutes": minutes}


def _receipt_words(receipt: Receipt, late: timedelta) -> str:
    return _("%(what)s, told %(at)s, arrived %(minutes)s min later; the times are corrected") % {
        "what": receipt.kind, "at": dated_moment(localtime(receipt.at or receipt.received_at)),
        "minutes": round(late / timedelta(minutes=1)),
    }  # fmt: skip
