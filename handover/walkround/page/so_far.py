"""What a return's large reading comes to so far: the line it would be on the statement, with its workings."""

import json

from django.utils.translation import gettext

from handover.statement.actions import priced
from handover.statement.lines import LineRow, Wording, line_rows
from handover.statement.words import kit_names
from handover.walkround.models import WalkRound
from handover.walkround.sheet import InstrumentAsk

CODES = {"fuel": "FUEL", "gas": "GAS"}


def so_far(walk: WalkRound, ask: InstrumentAsk) -> LineRow | None:
    """None where nothing is charged. Raises CannotBe when the rental cannot be priced."""
    rental, sheet = walk.leg.rental, walk.sheet.data
    inputs, result = (json.loads(text) for text in priced(rental)[:2])
    card = (rental.frozen or {}).get("rate_card", {})
    wording = Wording(kit_names(sheet), gettext(sheet.fuel.capitalize()), rental.currency, str(card.get("number", "")))
    lines = zip(result["lines"], line_rows(result, inputs, wording), strict=True)
    return next((row for line, row in lines if _is_of(ask, line["code"], line["ref"])), None)


def _is_of(ask: InstrumentAsk, code: str, ref: str) -> bool:
    return code == CODES.get(ask.measures) and (ask.measures == "fuel" or ref == ask.name)
