"""What the pages of the briefing show: which Topic is there in which language, and both texts side by side."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import Prefetch, QuerySet

from fleet.languages import TRANSLATED, Language
from fleet.models import Layout, Topic, TopicText
from handover.briefing.drawings import drawing_of
from handover.briefing.figures import figures_apart


@dataclass(frozen=True, slots=True)
class Pair:
    """A Topic and its text in one language, None where nobody wrote it."""

    topic: Topic
    text: TopicText | None

    @property
    def state(self) -> str:
        """approved, draft, behind (the English was changed since), missing."""
        if self.text is None:
            return "missing"
        if self.text.is_approved:
            return "approved"
        return "behind" if self.text.is_behind else "draft"

    @property
    def drawing(self) -> str:
        return drawing_of(self.topic.code)

    @property
    def lost_figures(self) -> str:
        return ", ".join(self._apart[0])

    @property
    def added_figures(self) -> str:
        return ", ".join(self._apart[1])

    @property
    def _apart(self) -> tuple[list[str], list[str]]:
        return figures_apart(self.topic.text, self.text.text) if self.text else ([], [])


@dataclass(frozen=True, slots=True)
class Column:
    """One language of a layout's Topics."""

    layout: Layout
    language: Language
    pairs: tuple[Pair, ...]

    @property
    def approved(self) -> int:
        return sum(pair.state == "approved" for pair in self.pairs)


@dataclass(frozen=True, slots=True)
class Table:
    """All Topics of a layout, a row each, in all languages."""

    layout: Layout
    columns: tuple[Column, ...]

    @property
    def rows(self) -> Iterator[tuple[Topic, tuple[Pair, ...]]]:
        for pairs in zip(*(column.pairs for column in self.columns), strict=True):
            yield pairs[0].topic, pairs


def briefing_tables() -> list[Table]:
    """Every layout, in three queries."""
    topics: dict[object, list[Topic]] = {}
    for topic in _topics():
        topics.setdefault(topic.station.layout_id, []).append(topic)
    return [
        Table(layout, tuple(_column(layout, language, topics.get(layout.pk, [])) for language in TRANSLATED))
        for layout in Layout.objects.all()
    ]


def column_of(layout: Layout, language: Language) -> Column:
    return _column(layout, language, list(_topics().filter(station__layout=layout)))


def _topics() -> QuerySet[Topic]:
    texts = Prefetch("texts", queryset=TopicText.objects.select_related("approved_by"))
    return Topic.objects.filter(retired=False).select_related("station").prefetch_related(texts)


def _column(layout: Layout, language: Language, topics: list[Topic]) -> Column:
    return Column(layout, language, tuple(_pair(topic, language) for topic in topics))


def _pair(topic: Topic, language: Language) -> Pair:
    return Pair(topic, next((text for text in topic.texts.all() if text.language == language.code), None))
