"""Which words of a Topic are shown in a language, and the digest of what was shown. No database: the sheet says all."""

from dataclasses import asdict

from fleet.languages import ENGLISH
from handover.walkround.sheet import TopicAsk, TopicWords
from shared.canonical import digest


def english(ask: TopicAsk) -> TopicWords:
    return TopicWords(ENGLISH.code, ask.title, ask.text, "english")


def words_in(ask: TopicAsk, language: str) -> TopicWords:
    """In the language by its code; the English where this Topic has no words of it."""
    return next((words for words in ask.others if words.language == language), english(ask))


def words_sha256(words: TopicWords) -> str:
    """Of what was read: language, title, text, and whether it said that it is a draft."""
    return digest(asdict(words))


def words_of_sha256(ask: TopicAsk, sha256: str) -> TopicWords | None:
    """The words that somebody read, by their digest; None when this sheet has no such words."""
    return next((words for words in (english(ask), *ask.others) if words_sha256(words) == sha256), None)
