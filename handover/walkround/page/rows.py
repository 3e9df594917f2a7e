"""Rows of a station: checks, counts, seals and marks."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from handover.walkround.models import Answer, CheckAnswer, Count, Hold, Mark, MarkFinding, SealCheck
from handover.walkround.page.trouble import Trouble
from handover.walkround.queries import Seen
from handover.walkround.sheet import CheckAsk, CountAsk, KitAsk, StationSheet
from shared.dates import dated
from shared.phrasebook import inside


@dataclass(frozen=True, slots=True)
class CheckRow:
    """`offered` is the word from before that a press would repeat; `was` the word that the latest replaced."""

    ask: CheckAsk
    notes: tuple[str, ...]
    answer: CheckAnswer | None
    offered: str
    hold: Hold | None
    earlier: Answer | None
    was: str
    trouble: Trouble | None

    @property
    def anchor(self) -> str:
        return f"check-{self.ask.id}"

    @property
    def word(self) -> str:
        return self.answer.word if self.answer else ""

    @property
    def said(self) -> str:
        return check_word(self.ask, self.answer)


@dataclass(frozen=True, slots=True)
class CountRow:
    """`offered` is what was there before, or what belongs here; `was_counted`: the walk-round before says."""

    ask: CountAsk
    answer: Count | None
    offered: int
    was_counted: bool
    earlier: Answer | None
    trouble: Trouble | None

    @property
    def anchor(self) -> str:
        return f"count-{self.ask.id}"

    @property
    def unseen(self) -> str:
        """What a form without figures would have sent: not counted, or none there."""
        if self.answer is None or self.answer.present:
            return ""
        return "none" if self.answer.present is None else "0"


@dataclass(frozen=True, slots=True)
class SealRow:
    ask: KitAsk
    answer: SealCheck | None
    offered: str
    earlier: Answer | None
    trouble: Trouble | None

    @property
    def anchor(self) -> str:
        return f"seal-{self.ask.id}"

    @property
    def good_to(self) -> str:
        """7 Apr 2028; empty for what does not expire."""
        return dated(date.fromisoformat(self.ask.expires_on)) if self.ask.expires_on else ""

    @property
    def state(self) -> str:
        return self.answer.state if self.answer else ""


@dataclass(frozen=True, slots=True)
class MarkRow:
    mark: Mark
    finding: MarkFinding | None
    is_new: bool
    trouble: Trouble | None

    @property
    def word(self) -> str:
        return self.finding.word if self.finding else ""

    @property
    def size(self) -> str:
        return size_words(self.mark.size_mm)

    @property
    def size_now(self) -> str:
        return size_words(self.finding.size_mm) if self.finding and self.finding.size_mm else ""

    @property
    def told(self) -> str:
        """Mark 3, scrape, 4 cm, locker door."""
        return _("Mark %(mark)s, %(kind)s, %(size)s, %(place)s") % {
            "mark": self.mark.number,
            "kind": inside(self.mark.get_kind_display()),
            "size": self.size,
            "place": self.mark.place,
        }


def check_word(ask: CheckAsk, answer: CheckAnswer | None) -> str:
    """The answer in the check's own words: Clear, Smell, Not inspected."""
    if answer is None:
        return ""
    return {"good": ask.good, "bad": ask.bad}.get(answer.word, answer.get_word_display().capitalize())


def size_words(millimetres: int) -> str:
    """4 cm, 25 mm: centimetres where they say it without a fraction."""
    return f"{millimetres // 10} cm" if millimetres % 10 == 0 else f"{millimetres} mm"


def before_name(seen: Seen) -> str:
    return _("Pickup") if seen.walk.is_return else _("Last return")


def check_rows(seen: Seen, station: StationSheet, trouble: Trouble | None) -> Iterator[CheckRow]:
    holds = {hold.subject: hold for hold in seen.holds}
    for ask in station.checks:
        if ask.at not in {"both", seen.walk.kind}:
            continue
        answer, before = seen.now.checks.get(ask.id), seen.before.checks.get(ask.id)
        earlier = seen.now.earlier.get(ask.id)
        yield CheckRow(
            ask=ask,
            notes=tuple(_notes(seen, ask, before)),
            answer=answer,
            offered="" if answer or ask.safety or before is None else before.word,
            hold=holds.get(ask.id),
            earlier=earlier,
            was=check_word(ask, earlier if isinstance(earlier, CheckAnswer) else None),
            trouble=at(trouble, ask),
        )


def _notes(seen: Seen, ask: CheckAsk, before: CheckAnswer | None) -> Iterator[str]:
    if ask.hint:
        yield ask.hint
    if ask.safety and not seen.walk.is_return and "stops the handover" not in ask.hint:
        yield _("“%(bad)s”: this unit stays") % {"bad": ask.bad}
    elif before and not ask.safety and not ask.hint:
        yield f"{before_name(seen)}: {inside(check_word(ask, before))}"


def count_rows(seen: Seen, station: StationSheet, trouble: Trouble | None) -> Iterator[CountRow]:
    for ask in station.counts:
        before = seen.before.counts.get(ask.id)
        offered = ask.quantity if before is None or before.present is None else before.present
        answer, earlier = seen.now.counts.get(ask.id), seen.now.earlier.get(ask.id)
        yield CountRow(ask, answer, offered, before is not None, earlier, at(trouble, ask))


def seal_rows(seen: Seen, station: StationSheet, trouble: Trouble | None) -> Iterator[SealRow]:
    for ask in station.kits:
        answer, before = seen.now.seals.get(ask.id), seen.before.seals.get(ask.id)
        offered = before.state if before and answer is None else ""
        yield SealRow(ask, answer, offered, seen.now.earlier.get(ask.id), at(trouble, ask))


def mark_rows(seen: Seen, station: StationSheet, trouble: Trouble | None) -> Iterator[MarkRow]:
    for mark in seen.marks:
        if mark.station_number == station.number:
            wrong = trouble if trouble and trouble.item == mark.pk else None
            yield MarkRow(mark, seen.now.marks.get(mark.pk), mark.found_on_id == seen.walk.pk, wrong)


def at(trouble: Trouble | None, ask: CheckAsk | CountAsk | KitAsk) -> Trouble | None:
    return trouble if trouble and trouble.item == ask.id else None
