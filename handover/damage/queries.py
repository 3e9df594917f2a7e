"""What the damage page shows: each mark, its event, its prices, and the total either way."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from handover.counter.fetching import Place, place_of
from handover.damage.found import Damage, damages_of, events_of, repair_prices
from handover.damage.models import Grouping, MoveVerdict, RepairPrice
from handover.damage.moved import moved_of
from handover.damage.trial import Total, totals_of
from handover.photo.models import Photo
from handover.rental.models import Rental
from shared.access.models import Person
from shared.access.roles import Right

# 2026-08-15T14:30, as a field of date and time holds it.
LEN_OF_A_FIELD = 16


@dataclass(frozen=True, slots=True)
class DamageRow:
    """`moved`: undecided, charged or dropped where nobody photographed it before the unit was moved."""

    damage: Damage
    event: int
    prices: Sequence[RepairPrice]
    photos: Sequence[Photo]
    moved: str = ""
    verdict: MoveVerdict | None = None

    @property
    def through(self) -> str:
        """120 mm now, was 30 mm; or its size."""
        known = self.damage.known_size_mm
        return f"{self.damage.size_mm} mm" + (
            _(" now, was %(known)s mm") % {"known": known} if known is not None else _(", new")
        )


@dataclass(frozen=True, slots=True)
class EventRow:
    number: int
    cause: str
    place: str
    at: str = ""


@dataclass(frozen=True, slots=True)
class DamagePage:
    """`totals` is empty until it is priced."""

    place: Place
    rows: Sequence[DamageRow]
    events: Sequence[EventRow]
    grouping: Grouping | None
    may_decide: bool
    may_judge: bool
    totals: Sequence[Total]

    @property
    def rental(self) -> Rental:
        return self.place.rental


def damage_page(rental: Rental, person: Person, chosen: Sequence[Mapping[str, Any]] | None = None) -> DamagePage:
    """`chosen` is what was typed and refused: it stays on the page, with its total."""
    damages = damages_of(rental)
    events, grouping = events_of(rental, damages)
    shown = list(events if chosen is None else chosen)
    return DamagePage(
        place=place_of(rental),
        rows=_rows(rental, damages, shown),
        events=_events(shown, len(damages)),
        grouping=grouping,
        may_decide=rental.state == Rental.State.BACK and person.may(Right.SETTLE),
        may_judge=rental.state == Rental.State.BACK and person.may(Right.REOPEN),
        totals=_totals(rental, chosen) if damages else [],
    )


def _totals(rental: Rental, chosen: Sequence[Mapping[str, Any]] | None) -> list[Total]:
    """From what the latest statement was priced from; none before the first."""
    statement = rental.statements.last()
    return totals_of(json.loads(statement.inputs), chosen) if statement else []


def _rows(rental: Rental, damages: Sequence[Damage], events: Sequence[Mapping[str, Any]]) -> list[DamageRow]:
    event_of = {mark: number for number, event in enumerate(events, start=1) for mark in event["marks"]}
    prices = repair_prices(rental)
    moved = moved_of(rental, {damage.walk.pk: damage.walk for damage in damages}.values())
    of_marks = Photo.objects.filter(walk__leg__rental=rental, subject__in=[one.mark.pk for one in damages])
    photos: dict[Any, list[Photo]] = {}
    for photo in of_marks.select_related("walk"):
        photos.setdefault(photo.subject, []).append(photo)
    return [
        DamageRow(
            damage=damage,
            event=event_of.get(str(damage.mark.pk), 1),
            prices=[price for (mark, _), price in prices.items() if mark == damage.mark.pk],
            photos=photos.get(damage.mark.pk, []),
            moved=moved.of(damage.walk.pk, damage.mark.pk),
            verdict=moved.verdicts.get(damage.mark.pk),
        )
        for damage in damages
    ]


def _events(events: Sequence[Mapping[str, Any]], most: int) -> list[EventRow]:
    """As many as there are marks: each may be an event of its own."""
    known = [
        EventRow(number, event["cause"], event["place"], (event.get("typed") or event.get("at", ""))[:LEN_OF_A_FIELD])
        for number, event in enumerate(events, start=1)
    ]
    return known + [EventRow(number, "", "") for number in range(len(known) + 1, most + 1)]
