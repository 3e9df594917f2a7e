"""What the pages of the rate cards show, in a fixed number of queries."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from fleet.models import Branch
from handover.charges import Problem
from handover.charges.document.damage_rates import WaiverRate
from handover.charges.document.extras import ZONES
from handover.ratecard.editor import Editing, Section, homeless, sections
from handover.ratecard.flat import cells_of
from handover.ratecard.fleet_facts import FleetFacts, Thing, fleet_facts
from handover.ratecard.paths import split
from handover.ratecard.validity import Trouble, check_card, check_rate_cards, counting_from, grade_of
from handover.ratecard.words import section_words, title_of, value_words
from handover.rental.models import RateCard
from handover.walkround.models import Mark
from shared.phrasebook import said

KINDS = {value: str(words) for value, words in Mark._meta.get_field("kind").flatchoices}
PARTS = {value: str(words) for value, words in Mark._meta.get_field("part").flatchoices}


@dataclass(frozen=True, slots=True)
class CardRow:
    """A card in the list. `standing` is draft, counts now, to come, or past."""

    card: RateCard
    standing: str


@dataclass(frozen=True, slots=True)
class CardsPage:
    rows: Sequence[CardRow]
    troubles: Sequence[Trouble]


@dataclass(frozen=True, slots=True)
class Change:
    title: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class SaidSection:
    """A section of a card that is only read: pairs of what and how much."""

    title: str
    values: Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class CardPage:
    """`before` is the card it follows, `changes` what is said otherwise than there; `left_out` are sentences."""

    card: RateCard
    before: RateCard | None
    changes: Sequence[Change]
    left_out: Sequence[str]
    grade: str
    said: Sequence[SaidSection] = ()
    sections: Sequence[Section] = ()
    homeless: Sequence[str] = ()


def cards_in_full() -> QuerySet[RateCard]:
    return RateCard.objects.select_related("branch")


def cards_page(branch: Branch, *, today: date) -> CardsPage:
    cards = list(RateCard.objects.filter(branch=branch).defer("rules").order_by("-draft", "-valid_from", "-number"))
    published = sorted((card for card in cards if not card.draft), key=lambda card: (card.valid_from, card.number))
    counting = counting_from(published, today)
    rows = [CardRow(card, _standing(card, counting, today)) for card in cards]
    return CardsPage(rows, check_rate_cards(branch, today=today))


def _standing(card: RateCard, counting: Sequence[RateCard], today: date) -> str:
    if card.draft:
        return "draft"
    if card not in counting:
        return "past"
    return "counts now" if card.valid_from <= today else "to come"


def card_page(card: RateCard) -> CardPage:
    """A card to be read."""
    facts, before = fleet_facts(card.branch), card_before(card)
    return CardPage(
        card=card,
        before=before,
        changes=_changes(card, before, facts),
        left_out=check_card(card.rules, card.branch, facts),
        grade=grade_of(facts),
        said=_said(card, facts),
    )


def draft_page(
    card: RateCard,
    cells: Mapping[str, str] | None = None,
    problems: Sequence[Problem] = (),
    typed: Mapping[str, str] | None = None,
) -> CardPage:
    """A draft to be edited: as it is kept, or as it was typed with what of it cannot be."""
    facts, before = fleet_facts(card.branch), card_before(card)
    wrong = {one.path: one.sentence for one in reversed(problems)}
    shown = sections(
        Editing(
            cells=cells_of(card.rules) if cells is None else cells,
            problems=wrong,
            known=_known(facts),
            currency=card.branch.currency,
            typed=typed or {},
        )
    )
    return CardPage(
        card=card,
        before=before,
        changes=_changes(card, before, facts),
        left_out=check_card(card.rules, card.branch, facts),
        grade=grade_of(facts),
        sections=shown,
        homeless=[_titled(one) for one in homeless(problems, shown)],
    )


def _titled(problem: Problem) -> str:
    return f"{title_of(problem.path)}: {said(problem.sentence)}" if split(problem.path) else said(str(problem))


def card_before(card: RateCard) -> RateCard | None:
    """The published card that this one follows, or would follow."""
    others = RateCard.objects.filter(branch=card.branch_id, draft=False).exclude(pk=card.pk)
    earlier = others if card.draft else others.filter(number__lt=card.number)
    return earlier.order_by("-valid_from", "-number").first()


def _changes(card: RateCard, before: RateCard | None, facts: FleetFacts) -> list[Change]:
    if before is None:
        return []
    was, now, currency = cells_of(before.rules), cells_of(card.rules), card.branch.currency
    paths = [path for path in {**was, **now} if was.get(path) != now.get(path)]
    return [
        Change(title_of(path, facts.names()), *(_worded(path, cells, currency) for cells in (was, now)))
        for path in paths
    ]  # fmt: skip


def _worded(path: str, cells: Mapping[str, str], currency: str) -> str:
    return value_words(path, cells[path], currency) if path in cells else _("not stated")


def _said(card: RateCard, facts: FleetFacts) -> list[SaidSection]:
    """Only what is stated; a section without a word is absent."""
    found: dict[str, list[tuple[str, str]]] = {}
    for path, value in cells_of(card.rules).items():
        title = title_of(path, facts.names()).partition(", ")[2]
        words = value_words(path, value, card.branch.currency)
        found.setdefault(split(path)[0], []).append((title[:1].upper() + title[1:], words))
    return [SaidSection(section_words(key), values) for key, values in found.items()]


def _known(facts: FleetFacts) -> dict[str, dict[str, str]]:
    """Rows that stand ready to be filled, by the path they stand under."""
    kinds = {value: said(words) for value, words in KINDS.items()}
    return {
        "kits": {kit.code: kit.name for kit in facts.kits},
        "cleaning": {zone: said(zone.capitalize()) for zone in ZONES},
        "equipment.prices": {item.code: _with_own_price(item) for item in facts.equipment},
        "damage.fair_wear_max_mm": kinds,
        "damage.fair_wear_max_per_panel": kinds,
        "waivers.limits": {role: said(role.capitalize()) for role in WaiverRate(path="").limits},
    }


def _with_own_price(item: Thing) -> str:
    return _("%(item)s, layout %(price)s %(currency)s") % {
        "item": item.name,
        "price": item.price,
        "currency": item.currency,
    }
