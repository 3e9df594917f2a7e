"""The letter's sentences from the rows of a decision: the customer's language first, English below a draft."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from babel.dates import format_date
from django.conf import settings
from django.urls import reverse

from fleet.languages import ENGLISH, Language, briefed_in
from handover.dispute.letter.phrases import PHRASES, Phrases
from handover.dispute.models import Decision
from handover.photo.models import Photo
from handover.record.models import Record
from handover.rental.models import Rental
from handover.statement.models import Statement
from shared.clock import local
from shared.money import money_text

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class Shown:
    """A photo of the letter; `source` names its bytes."""

    photo: Photo
    source: str
    words: str


@dataclass(frozen=True, slots=True)
class Body:
    """One language of a letter. `draft` is empty where the translation is approved; `sums` pairs words and amounts."""

    language: Language
    draft: str
    subject: str
    dear: str
    contested: str
    in_words: str
    decided: str
    reason: str
    photos_head: str
    photos: Sequence[Shown]
    sums_head: str
    sums: Sequence[tuple[str, str]]
    outcome: str
    record: str
    otherwise: str
    regards: str


@dataclass(frozen=True, slots=True)
class Facts:
    """What a letter tells of. `earlier` is the version before; `photos` of the same view, pickup first."""

    decision: Decision
    rental: Rental
    earlier: Statement | None
    record: Record | None
    photos: Sequence[Photo] = ()

    @property
    def difference(self) -> Decimal:
        now = self.decision.statement
        return now.total - self.earlier.total if now and self.earlier else ZERO

    def money(self, amount: Decimal) -> str:
        return money_text(amount, self.rental.currency, self.rental.branch.locale)


# An amount, a name or an address among words that run from right to left keeps its own order between these two.
ISOLATE, END_OF_ISOLATE = "\u2066", "\u2069"


def _filled(text: str, values: Mapping[str, Any], language: Language) -> str:
    if language.direction == "rtl":
        values = {name: f"{ISOLATE}{value}{END_OF_ISOLATE}" for name, value in values.items()}
    return text % values


def facts_of(decision: Decision, photos: Sequence[Photo] = ()) -> Facts:
    """Three queries beside the decision's own rows."""
    rental, now = decision.dispute.rental, decision.statement
    earlier = rental.statements.filter(version__lt=now.version).last() if now else None
    record = Record.objects.filter(statement=now).first() if now else None
    return Facts(decision, rental, earlier, record, photos)


def bodies(facts: Facts) -> list[Body]:
    """One in English alone, or in an approved translation; else the draft and the English below it."""
    own = briefed_in(facts.rental.customer.language)
    mine = body(facts, own)
    return [mine, body(facts, ENGLISH)] if mine.draft else [mine]


def body(facts: Facts, language: Language) -> Body:
    phrases = PHRASES[language.code]
    named = _named(facts, language)
    said = {name: _filled(text, named, language) for name, text in phrases.texts().items() if name not in LATER}
    return Body(
        language=language,
        draft="" if phrases.approved else phrases.draft,
        subject=said["subject"],
        dear=said["dear"],
        contested=said["contested"],
        in_words=said["in_words"],
        decided=said[facts.decision.outcome],
        reason=said["reason"],
        photos_head=said["photos"],
        photos=[_shown(facts, phrases, language, number) for number in range(len(facts.photos))],
        sums_head=said["sums"],
        sums=_sums(facts, phrases),
        outcome=_outcome(facts, phrases, language),
        record=_record(facts, phrases, language),
        otherwise=said["otherwise"],
        regards=said["regards"],
    )


# Said of what is only sometimes there, or several times.
LATER = frozenset({"pickup", "back", "before", "now", "refund", "to_pay", "record"})


def _named(facts: Facts, language: Language) -> dict[str, Any]:
    decision, rental = facts.decision, facts.rental
    dispute = decision.dispute
    return {
        "number": dispute.number,
        "line": dispute.title,
        "name": rental.customer.name,
        "day": _day(local(dispute.at, rental.branch.zone).date(), language),
        "rental": rental.number,
        "before": facts.money(decision.before),
        "after": facts.money(decision.after),
        "person": str(decision.by),
        "operator": rental.branch.operator,
        "branch": rental.branch.name,
    }


def _sums(facts: Facts, phrases: Phrases) -> list[tuple[str, str]]:
    now = facts.decision.statement
    if now is None or facts.earlier is None:
        return []
    return [
        (phrases.before % {"version": facts.earlier.version}, facts.money(facts.earlier.total)),
        (phrases.now % {"version": now.version}, facts.money(now.total)),
        (phrases.difference, facts.money(facts.difference)),
    ]


def _outcome(facts: Facts, phrases: Phrases, language: Language) -> str:
    """Where the rental is open again at the counter, what moves is said there."""
    if facts.record is None:
        return phrases.to_be_settled
    if not facts.difference:
        return phrases.nothing
    words = phrases.refund if facts.difference < 0 else phrases.to_pay
    return _filled(words, {"amount": facts.money(abs(facts.difference))}, language)


def _record(facts: Facts, phrases: Phrases, language: Language) -> str:
    if facts.record is None:
        return ""
    number, code = facts.rental.number, facts.record.code
    address = settings.PUBLIC_URL + reverse("record-lookup", args=[number, code])
    return _filled(phrases.record, {"number": number, "code": code, "address": address}, language)


def _shown(facts: Facts, phrases: Phrases, language: Language, place: int) -> Shown:
    photo = facts.photos[place]
    at = local(photo.at, facts.rental.branch.zone)
    words = phrases.back if photo.walk.is_return else phrases.pickup
    return Shown(photo, f"rec:photo/{photo.pk}", words % {"at": _moment(at, language)})


def _day(day: date, language: Language) -> str:
    """18 August 2026, in the order of the language; figures as everywhere on the letter."""
    return format_date(day, "d MMMM y", locale=language.code)


def _moment(at: datetime, language: Language) -> str:
    return f"{_day(at.date(), language)}, {at:%H:%M}"
