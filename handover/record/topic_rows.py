"""What was explained at the pickup, word for word: the English beside the language it was shown in."""

from collections.abc import Iterator
from dataclasses import dataclass

from fleet.languages import BY_CODE, ENGLISH, Language
from handover.briefing.phrases import PHRASES
from handover.record.content import RecordContent, Topic, TopicText
from handover.record.figures import digest_groups, language_name
from handover.record.walk_rows import TOPIC_WORDS


@dataclass(frozen=True)
class TopicRow:
    """`other` is None where the English was shown; `notes` say of `other` in both languages that it is a draft."""

    station: str
    title: str
    text: str
    said: str
    other: TopicText | None
    language: Language
    notes: tuple[str, str]
    shown: str


def topic_rows(content: RecordContent) -> list[TopicRow]:
    """Every topic of the walk-rounds in this Record that its customer was told of, in the order told."""
    return [
        _row(f"{station.number} {station.name}", topic)
        for walk in content.walk_rounds
        for station in walk.stations
        for topic in station.topics
        if topic.texts and topic.outcome != "skipped"
    ]


def _row(station: str, topic: Topic) -> TopicRow:
    english, *others = topic.texts
    other = others[0] if others else None
    return TopicRow(
        station=station,
        title=english.title,
        text=english.text,
        said=", ".join(_said(topic)),
        other=other,
        language=BY_CODE.get(topic.language, ENGLISH),
        notes=_notes(other),
        shown=_shown(topic),
    )


def _said(topic: Topic) -> Iterator[str]:
    yield TOPIC_WORDS[topic.outcome].capitalize()
    if topic.heard_by:
        yield topic.heard_by
    yield f"in {language_name(topic.language)}"
    if topic.seconds is not None:
        yield f"on the screen for {topic.seconds}\u00a0s"


def _notes(other: TopicText | None) -> tuple[str, str]:
    """Of a draft, in English and in its own language; both empty otherwise."""
    if other is None or other.state != "draft":
        return ("", "")
    return (PHRASES["en"].draft, PHRASES[other.language].draft)


def _shown(topic: Topic) -> str:
    """The digest of what was on the screen; words that are not these are said to be others."""
    known = topic.text_sha256 in {text.sha256 for text in topic.texts}
    words = "" if known else "other words than these, "
    return f"{words}SHA-256 {digest_groups(topic.text_sha256, 16)}" if topic.text_sha256 else ""
