"""How the kinds are called, and the words that stand where something was erased."""

import re
from datetime import date

from django.utils.translation import gettext_lazy as _

from handover.retention.kinds import Kind
from shared.dates import dated
from shared.phrasebook import in_house_language

NAMES = {
    Kind.NAME: _("Name and e-mail address"),
    Kind.PHONE: _("Phone number, named drivers, the booking’s number elsewhere"),
    Kind.SIGNATURES: _("Signatures"),
    Kind.WORDS: _("Typed words: remarks, notes, objections, reasons"),
    Kind.SENT: _("Photos that the customer sent, receipts, notices"),
    Kind.PHOTOS: _("Photos of the walk-rounds that show no Mark: people may be on them"),
    Kind.DAMAGE: _("Photos of Marks"),
    Kind.DOCUMENTS: _("Records, letters and bundles that name the person; references of payments"),
    Kind.PLACES: _("Places of the nights"),
    Kind.DELIVERIES: _("Addresses that links and letters were sent to"),
    Kind.TABLET: _("What tablets sent and what was held for a person"),
}

WHY = {"schedule": "by schedule", "request": "on request"}
GONE = re.compile(r"Erased \d{1,2} \w{3,5} \d{4} (?:by schedule|on request)")


@in_house_language
def instead(day: date, why: str) -> str:
    """What stands in a column of words from then on, in the house language: Erased 30 Nov 2026 by schedule."""
    return f"Erased {dated(day)} {WHY[why]}"


def is_gone(text: str) -> bool:
    return GONE.fullmatch(text) is not None
