"""The Cab card in words, for paper and for the phone alike."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from consumables.said import Said
from consumables.trip_plan import PARKED_BY, NightPlan, Practice, Verdict
from fleet.models import CardPlace
from handover.cabcard import night_words
from handover.cabcard.drawing import LETTERS
from handover.cabcard.figures import figures, gas_words, height, mass_words
from handover.cabcard.queries import CardFacts
from handover.cabcard.rows import CardPage, NightRow, PlaceRow, PracticeRow, StepRow
from handover.cabcard.tongues import Both, Tongues
from shared.clock import local
from shared.dates import dated, day_text, weekday_and_day

LABELS = {
    "title": gettext_lazy("Cab card"),
    "unit": gettext_lazy("Unit"),
    "plate": gettext_lazy("plate"),
    "fuel": gettext_lazy("Fuel"),
    "only": gettext_lazy("only. Never AUS 32 in this tank."),
    "places": gettext_lazy("Where things are"),
    "nights": gettext_lazy("Nights: park in daylight, water and power that last"),
    "night": gettext_lazy("Night"),
    "where": gettext_lazy("Where"),
    "by": gettext_lazy("Be there by"),
    "water": gettext_lazy("Fresh water"),
    "power": gettext_lazy("Power"),
    "gas": gettext_lazy("Gas left"),
    "all_gas": gettext_lazy("Gas"),
    "basis": gettext_lazy("What this rests on"),
    "cautions": gettext_lazy("Cautions"),
    "practices": gettext_lazy("What is usual, and what holds for this unit and party"),
    "emergency": gettext_lazy("In an emergency"),
    "size": gettext_lazy("Size, mass, speed, tyres"),
    "more": gettext_lazy("Later nights stand on the phone page."),
    "keep": gettext_lazy("Keep in the cab"),
}
VERDICTS = {
    Verdict.HOLDS: gettext_lazy("Holds here."),
    Verdict.LESS: gettext_lazy("Less is enough here."),
    Verdict.MORE: gettext_lazy("More is needed here."),
}


def card_page(facts: CardFacts, tongues: Tongues) -> CardPage:
    return CardPage(
        facts=facts,
        tongues=tongues,
        labels={name: tongues.both(lambda text=text: str(text)) for name, text in LABELS.items()},  # type: ignore[misc]
        dates=tongues.both(lambda: _dates(facts)),
        height=height(facts, tongues),
        fuel=tongues.both(lambda: str(facts.layout.get_fuel_display())),
        figures=list(figures(facts, tongues)),
        places=[_place(letter, row, facts, tongues) for letter, row in zip(LETTERS, facts.places, strict=False)],
        nights=[_night(place, night, facts, tongues) for place, night in enumerate(facts.plan.nights)],
        people=tongues.both(lambda: _people(facts.party.people)),
        basis=_sentences((PARKED_BY, *facts.plan.basis), tongues),
        cautions=_sentences(facts.plan.cautions, tongues),
        stops=_sentences(facts.carried.stops, tongues),
        notes=_sentences(facts.carried.notes, tongues),
        practices=[_practice(row, tongues) for row in facts.plan.practices],
        gas=list(gas_words(facts, tongues)),
        mass=_sentences(mass_words(facts), tongues),
        steps=[StepRow(tongues.entered(s.title), tongues.entered(s.text), s.number) for s in facts.steps],
    )


def _dates(facts: CardFacts) -> str:
    rental, zone = facts.rental, facts.branch.zone
    first, last = (local(at, zone) for at in (rental.planned_out_at, rental.planned_back_at))
    return _("%(first)s to %(last)s") % {"first": day_text(first), "last": dated(last)}


def _people(people: int) -> str:
    return ngettext("%(people)s person", "%(people)s people", people) % {"people": people}


def _sentences(words: tuple[Said, ...], tongues: Tongues) -> list[Both]:
    return [tongues.sentence(each) for each in words]


def _place(letter: str, row: CardPlace, facts: CardFacts, tongues: Tongues) -> PlaceRow:
    words = tongues.entered(row.words)
    seal = facts.seals.get(row.kit_id, "") if row.kit_id else ""
    if seal:
        words = _joined(words, tongues.both(lambda: _("seal %(number)s") % {"number": seal}))
    return PlaceRow(letter, tongues.entered(row.title), words)


def _joined(first: Both, second: Both) -> Both:
    own = ", ".join(part for part in (first.own, second.own) if part)
    english = ", ".join(part for part in (first.english or first.own, second.english or second.own) if part)
    return Both(own) if own == english else Both(own, english)


def _night(place: int, night: NightPlan, facts: CardFacts, tongues: Tongues) -> NightRow:
    light, both = facts.light[place], tongues.both
    return NightRow(
        day=both(lambda: weekday_and_day(night.stop.day)),
        place=both(lambda: night_words.where(night.stop)),
        by=both(lambda: night_words.be_there_by(light)),
        water=both(lambda: night_words.water(night.water)),
        power=both(lambda: night_words.power(night.power, night.stop)),
        gas=both(lambda: night_words.gas(night.gas)),
        by_words=light is None or light.sunset is None,
    )


def _practice(row: Practice, tongues: Tongues) -> PracticeRow:
    return PracticeRow(
        custom=tongues.sentence(row.custom),
        verdict=tongues.both(lambda: str(VERDICTS[row.verdict])),
        holds=row.verdict == Verdict.HOLDS,
        why=tongues.sentence(row.why),
    )
