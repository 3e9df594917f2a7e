"""The Topics of a station as they are shown: one at a time, in every language, the customer's first."""

from collections.abc import Iterator
from dataclasses import dataclass

from fleet.languages import BRIEFED, ENGLISH, Language, briefed_in
from handover.briefing.drawings import drawing_of
from handover.briefing.phrases import PHRASES, Phrases
from handover.briefing.texts import words_in, words_sha256
from handover.walkround.models import TopicHeard, WalkRound
from handover.walkround.queries import Seen
from handover.walkround.sheet import StationSheet, TopicAsk, TopicWords

SAFETY = "S"


@dataclass(frozen=True, slots=True)
class Saying:
    """A Topic in one language, with what its button says. Where there are no words of it, the English stands in."""

    language: Language
    words: TopicWords
    understand: str

    @property
    def phrases(self) -> Phrases:
        return PHRASES[self.language.code]

    @property
    def written_in(self) -> Language:
        return briefed_in(self.words.language)

    @property
    def note(self) -> str:
        """That it is a draft, or not translated; empty for the English and for what is approved."""
        return self._note(self.phrases)

    @property
    def english_note(self) -> str:
        return self._note(PHRASES[ENGLISH.code])

    def _note(self, phrases: Phrases) -> str:
        if self.words.language != self.language.code:
            return phrases.missing
        return phrases.draft if self.words.state == "draft" else ""

    @property
    def sha256(self) -> str:
        return words_sha256(self.words)


@dataclass(frozen=True, slots=True)
class TopicView:
    """`said` is in the customer's language, `sayings` in all; `drawing` a template or empty."""

    ask: TopicAsk
    number: int
    said: Saying
    sayings: tuple[Saying, ...]

    @property
    def is_safety(self) -> bool:
        return self.ask.severity == SAFETY

    @property
    def is_english(self) -> bool:
        return self.said.language == ENGLISH

    @property
    def drawing(self) -> str:
        return drawing_of(self.ask.code)


@dataclass(frozen=True, slots=True)
class TopicPanel:
    """`due` is the topic to hear now, None when all are settled; `heard` those that have their answer.

    `later` are those that come after the due one: a tablet without a signal goes on to them. `asks_language`: at the
    first station with topics, until the customer has chosen one on this walk-round or has heard a topic there.
    """

    language: Language
    asks_language: bool
    due: TopicView | None
    later: tuple[TopicView, ...]
    of: int
    heard: tuple[tuple[TopicAsk, TopicHeard], ...]
    unheard: tuple[TopicAsk, ...]

    @property
    def languages(self) -> tuple[Language, ...]:
        return BRIEFED


def language_of(walk: WalkRound) -> Language:
    """Chosen on this walk-round, else as booked; English where the booking names one that we do not brief in."""
    return briefed_in(walk.language or walk.leg.rental.customer.language)


def topic_panel(seen: Seen, station: StationSheet) -> TopicPanel | None:
    """One topic at a time: those that nobody heard, then the unsettled ones. None where there is none to hear."""
    if seen.walk.is_return or not station.topics:
        return None
    answers = seen.now.topics
    views = [_view(seen.walk, station, topic) for topic in _queue(seen, station)]
    return TopicPanel(
        language=language_of(seen.walk),
        asks_language=_asks_language(seen, station),
        due=views[0] if views else None,
        later=tuple(views[1:]),
        of=len(station.topics),
        heard=tuple((topic, answers[topic.id]) for topic in station.topics if topic.id in answers),
        unheard=tuple(topic for topic in station.topics if topic.id not in answers),
    )


def _asks_language(seen: Seen, station: StationSheet) -> bool:
    """What is heard at one station changes no other: a tablet that has them all need not fetch them again."""
    first = next(one for one in seen.walk.sheet.data.stations if one.topics)
    is_heard = any(topic.id in seen.now.topics for topic in station.topics)
    return station.number == first.number and not (seen.walk.language or is_heard)


def _queue(seen: Seen, station: StationSheet) -> Iterator[TopicAsk]:
    answers = seen.now.topics
    yield from (topic for topic in station.topics if topic.id not in answers)
    yield from (topic for topic in station.topics if topic.id in answers and not is_settled(topic, answers[topic.id]))


def is_settled(ask: TopicAsk, heard: TopicHeard) -> bool:
    """What can hurt someone is settled by the customer's own word only; of the rest it is enough to be told."""
    if ask.severity == SAFETY:
        return heard.outcome == TopicHeard.Outcome.UNDERSTOOD
    return heard.outcome != TopicHeard.Outcome.DECLINED


def _view(walk: WalkRound, station: StationSheet, ask: TopicAsk) -> TopicView:
    name = walk.leg.rental.customer.name.split()[0]
    sayings = {language.code: _saying(ask, language, name) for language in BRIEFED}
    number = station.topics.index(ask) + 1
    return TopicView(ask, number, sayings[language_of(walk).code], tuple(sayings.values()))


def _saying(ask: TopicAsk, language: Language, name: str) -> Saying:
    return Saying(language, words_in(ask, language.code), f"{name}: {PHRASES[language.code].understand}")
