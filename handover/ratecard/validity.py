"""Whether a branch's rate cards hold: every day has one, none hides another, nothing that it has lacks a price."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby, pairwise
from typing import Any

from django.db.models import prefetch_related_objects
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from fleet.models import Branch
from handover.ratecard.checking import check_cells
from handover.ratecard.flat import cells_of
from handover.ratecard.fleet_facts import FleetFacts, Thing, fleet_facts
from handover.ratecard.words import title_of
from handover.rental.models import RateCard
from shared.dates import dated

NAMED = 4


@dataclass(frozen=True, slots=True)
class Trouble:
    """One thing that does not hold. `card` is None where it is about the days and not about one card."""

    sentence: str
    card: RateCard | None = None

    def __str__(self) -> str:
        return (
            _("Card %(card)s: %(sentence)s") % {"card": self.card.number, "sentence": self.sentence}
            if self.card
            else self.sentence
        )


def check_rate_cards(branch: Branch, *, today: date) -> list[Trouble]:
    """Of the card that counts today and each that will; drafts are looked at on their own page."""
    cards = sorted(RateCard.objects.filter(branch=branch, draft=False), key=lambda card: (card.valid_from, card.number))
    troubles = [*_gaps(cards, today), *_overlaps(cards, today)]
    facts = fleet_facts(branch)
    prefetch_related_objects([branch], "opening_hours", "closed_dates")
    for card in counting_from(cards, today):
        troubles += [Trouble(sentence, card) for sentence in check_card(card.rules, branch, facts)]
    return troubles


def counting_from(cards: Sequence[RateCard], today: date) -> list[RateCard]:
    """Of cards in order of their days: the one of today and the later ones."""
    last_of_day = [list(same)[-1] for _, same in groupby(cards, key=lambda card: card.valid_from)]
    past = [card for card in last_of_day if card.valid_from <= today]
    return [*past[-1:], *(card for card in last_of_day if card.valid_from > today)]


def check_card(rules: Mapping[str, Any], branch: Branch, facts: FleetFacts) -> list[str]:
    """What one card's rules cannot be, and what they leave out."""
    checked = check_cells(cells_of(rules), branch)
    wrong = [f"{title_of(one.path) if one.path else 'The card'}: {one.sentence}" for one in checked.problems]
    return [*wrong, *_left_out(rules, branch, facts)]


def _gaps(cards: Sequence[RateCard], today: date) -> Iterator[Trouble]:
    if not cards:
        yield Trouble(_("No rate card counts: no pickup can be signed. Begin a draft and publish it."))
    elif cards[0].valid_from > today:
        yield Trouble(
            _("No rate card counts from today until %(valid_from)s: no pickup can be signed before then.")
            % {"valid_from": dated(cards[0].valid_from)}
        )


def _overlaps(cards: Sequence[RateCard], today: date) -> Iterator[Trouble]:
    for day, same in groupby(cards, key=lambda card: card.valid_from):
        first, *others = (str(card.number) for card in same)
        if others:
            yield Trouble(
                _("Cards %(cards)s all count from %(day)s. Only %(last)s is ever used.")
                % {"cards": _listed([first, *others]), "day": dated(day), "last": others[-1]}
            )
    counting = counting_from(cards, today)
    for before, after in pairwise(counting):
        if after.number < before.number:
            yield Trouble(
                _(
                    "From %(valid_from)s card %(after)s replaces the newer card %(before)s. If that is "
                    "not meant, publish a new card from that day."
                )
                % {"valid_from": dated(after.valid_from), "after": after.number, "before": before.number}
            )


def _left_out(rules: Mapping[str, Any], branch: Branch, facts: FleetFacts) -> Iterator[str]:
    for quantity, section in (("fuel", "fuel"), ("gas", "gas")):
        if quantity in facts.measured and section not in rules:
            yield _(
                "There is no rule for %(section)s, which is read at pickup and return: nothing of it is charged."
            ) % {"section": section}
    yield from _grades(rules, facts)
    ruled = rules.get("kits", {})
    for kit in facts.kits:
        if kit.code not in ruled:
            yield _("%(kit)s (%(code)s) of %(layout)s has no rule: opened, it is not charged.") % {
                "kit": kit.name,
                "code": kit.code,
                "layout": kit.layout,
            }
    yield from _unpriced(rules, branch, facts.equipment)
    yield from _matrix(rules, facts)


def _grades(rules: Mapping[str, Any], facts: FleetFacts) -> Iterator[str]:
    """One price per litre can stand for one grade only."""
    if unknown := facts.fuels.get(""):
        yield _("No fuel grade: %(unknown)s. Whether the price per litre is for it, nobody can say.") % {
            "unknown": _units(unknown)
        }
    grades = sorted(fuel for fuel in facts.fuels if fuel)
    if len(grades) > 1 and "fuel" in rules:
        split = "; ".join(
            _("%(fuel)s for %(units)s") % {"fuel": fuel, "units": _units(facts.fuels[fuel])} for fuel in grades
        )
        yield _("One price per litre stands for %(grades)s alike: %(split)s.") % {
            "grades": _listed(grades),
            "split": split,
        }


def grade_of(facts: FleetFacts) -> str:
    """Which fuel the price per litre is for: every unit's, or none when they differ."""
    grades = [fuel for fuel in facts.fuels if fuel]
    return grades[0] if len(grades) == 1 and "" not in facts.fuels else ""


def _unpriced(rules: Mapping[str, Any], branch: Branch, equipment: Sequence[Thing]) -> Iterator[str]:
    prices = rules.get("equipment", {}).get("prices", {})
    without = [item for item in equipment if item.currency != branch.currency and item.code not in prices]
    for currency, items in groupby(sorted(without, key=lambda item: item.currency), key=lambda item: item.currency):
        names = [item.name for item in items]
        yield (
            _("Priced in %(currency)s only, not in %(own)s, so not charged when missing: %(names)s.")
            % {"currency": currency, "own": branch.currency, "names": _listed(names)}
        )


def _matrix(rules: Mapping[str, Any], facts: FleetFacts) -> Iterator[str]:
    damage = rules.get("damage", {})
    if damage.get("pricing") != "matrix":
        return
    matrix = damage.get("matrix", {})
    lacking = [f"{part} {kind}" for part, kind in facts.marks if not matrix.get(part, {}).get(kind)]
    if lacking:
        yield _("The repair matrix has no price for marks that units have: %(lacking)s.") % {
            "lacking": _listed(lacking)
        }


def _listed(words: Sequence[str]) -> str:
    """a, b and c; of more than a few the rest as a number."""
    shown = (
        list(words)
        if len(words) <= NAMED + 1
        else [*words[:NAMED], _("%(count)s more") % {"count": len(words) - NAMED}]
    )
    return _(" and ").join([", ".join(shown[:-1]), shown[-1]]) if len(shown) > 1 else "".join(shown)


def _units(numbers: Sequence[str]) -> str:
    return ngettext("unit %(numbers)s", "units %(numbers)s", len(numbers)) % {"numbers": _listed(numbers)}
