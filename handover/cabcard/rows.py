"""The rows of a Cab card: words in the customer's language with the English beside them."""

from dataclasses import dataclass

from django.utils.safestring import SafeString

from handover.cabcard.drawing import plan_for_paper, plan_for_screen
from handover.cabcard.queries import CardFacts
from handover.cabcard.tongues import Both, Tongues


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure with its name, and the same in the other system of units where there is one."""

    name: Both
    value: str
    other: str = ""


@dataclass(frozen=True, slots=True)
class PlaceRow:
    letter: str
    title: Both
    words: Both


@dataclass(frozen=True, slots=True)
class NightRow:
    day: Both
    place: Both
    by: Both
    water: Both
    power: Both
    gas: Both
    by_words: bool


@dataclass(frozen=True, slots=True)
class PracticeRow:
    custom: Both
    verdict: Both
    holds: bool
    why: Both


@dataclass(frozen=True, slots=True)
class StepRow:
    title: Both
    text: Both
    number: str


@dataclass(frozen=True, slots=True)
class CardPage:
    """`dates` are the days of the rental; `stops` what must not go out as it is, `notes` what is assumed."""

    facts: CardFacts
    tongues: Tongues
    labels: dict[str, Both]
    dates: Both
    height: Figure
    fuel: Both
    figures: list[Figure]
    places: list[PlaceRow]
    nights: list[NightRow]
    people: Both
    basis: list[Both]
    cautions: list[Both]
    stops: list[Both]
    notes: list[Both]
    practices: list[PracticeRow]
    gas: list[Both]
    mass: list[Both]
    steps: list[StepRow]

    @property
    def is_in_two_languages(self) -> bool:
        return bool(self.labels["places"].english)

    @property
    def small_print(self) -> list[Both]:
        """Under the nights on paper: what it rests on, what is assumed, and that it is advice."""
        return [*self.basis, *self.notes, *self.cautions]

    @property
    def whole_basis(self) -> list[Both]:
        return [*self.basis, *self.notes, *self.mass]

    def paper_plan(self, height: int) -> SafeString:
        return plan_for_paper(self.facts, self.tongues, height)

    @property
    def screen_plan(self) -> SafeString:
        return plan_for_screen(self.facts, self.tongues)
