"""The Topics of the briefing to read again, in the language it was given in."""

from dataclasses import dataclass

from fleet.languages import Language, briefed_in
from handover.briefing.texts import words_in
from handover.customer.page import pickup_of
from handover.rental.models import Rental
from handover.walkround.sheet import TopicWords


@dataclass(frozen=True, slots=True)
class TopicsAgain:
    """`rows` pair whether a Topic is about safety with its words; one without a translation is in English."""

    language: Language
    rows: list[tuple[bool, TopicWords]]


def topics_of(rental: Rental) -> TopicsAgain:
    """Those of the last pickup that ended. Two queries."""
    leg = rental.legs.last()
    pickup = pickup_of(leg) if leg else None
    if pickup is None:
        return TopicsAgain(briefed_in("en"), [])
    language = briefed_in(pickup.language or rental.customer.language)
    asks = [ask for station in pickup.sheet.data.stations for ask in station.topics]
    return TopicsAgain(language, [(ask.severity == "S", words_in(ask, language.code)) for ask in asks])
