"""From rows to the pricing document: the frozen promise, the readings of each leg, and where each figure comes from.

Everything the price rests on is in the document, so that it can be priced again without this database.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any
from uuid import UUID

from django.utils.translation import gettext

from consumables.readable import figure, in_unit
from handover.acting import CannotBe
from handover.counter.desk import Desk, desk_of
from handover.counter.pricing import corrections_of, with_desk
from handover.damage.pricing import damage_part
from handover.photo.models import Photo
from handover.rental.models import Leg, Rental
from handover.statement.equipment import item_entry, price_of
from handover.statement.promise import promise_document, wall
from handover.trip.pricing import with_trip
from handover.walkround.answers import NOTHING, Answers, answers_of
from handover.walkround.levels import as_read
from handover.walkround.models import Answer, Reading, WalkRound
from handover.walkround.sheet import InstrumentAsk, SheetData
from shared.clock import local
from shared.phrasebook import in_house_language


@dataclass(slots=True)
class Sources:
    """Collects, for a path of the document, who read it, when, on what, and the photos of it.

    `papers` are numbers of sheets by the walk-round that was keyed in from them.
    """

    zone: str
    photos: Mapping[UUID, list[str]]
    papers: Mapping[UUID, int] = field(default_factory=dict)
    found: dict[str, dict[str, Any]] = field(default_factory=dict)

    def note(self, path: str, answer: Answer | None, *, instrument: str = "") -> None:
        if answer is None:
            return
        self.found[path] = {
            "who": str(answer.by),
            "at": local(answer.at, self.zone).isoformat(timespec="seconds"),
            "instrument": instrument,
            "answer": str(answer.pk),
            "photos": self.photos.get(getattr(answer, "item_id", answer.pk), []),
        } | ({"source": "paper", "paper_sheet": number} if (number := self.papers.get(answer.walk_id)) else {})


@dataclass(frozen=True, slots=True)
class WalkedLeg:
    """`without_sheet`: it left on a sheet of paper that is lost, so that nothing says how it left."""

    leg: Leg
    sheet: SheetData
    out: Answers
    back: Answers
    without_sheet: bool = False


def pricing_document(rental: Rental) -> dict[str, Any]:
    """Raises CannotBe before pickup: without the frozen promise there is nothing to price by."""
    if rental.frozen is None or rental.frozen_at is None:
        raise CannotBe(gettext("%(rental)s has not left yet: there is nothing to price.") % {"rental": rental.number})
    return _written(rental)


@in_house_language
def _written(rental: Rental) -> dict[str, Any]:
    rows = WalkRound.objects.filter(leg__rental=rental).select_related("leg__unit", "sheet", "paper")
    walks = list(rows.order_by("leg__number"))
    legs, desk, photos = _walked_legs(walks), desk_of(rental), _photos_by_subject(walks)
    document = _document(rental, walks, [_corrected(walked, desk) for walked in legs], desk, photos)
    if desk.corrections:
        as_read = _document(rental, walks, legs, desk, photos)
        document["corrections"] = corrections_of(document, as_read, desk)
    return document


def _corrected(walked: WalkedLeg, desk: Desk) -> WalkedLeg:
    return replace(
        walked,
        out=replace(walked.out, readings=desk.corrected(walked.out.readings)),
        back=replace(walked.back, readings=desk.corrected(walked.back.readings)),
    )


def _document(
    rental: Rental, walks: list[WalkRound], legs: list[WalkedLeg], desk: Desk, photos: Mapping[UUID, list[str]]
) -> dict[str, Any]:
    """What the walk-rounds say, then damages, the trip, and the desk."""
    frozen: dict[str, Any] = rental.frozen or {}
    zone = frozen["zone"]
    papers = {walk.pk: walk.paper.number for walk in walks if walk.paper}
    sources = Sources(zone=zone, photos=photos, papers=papers)
    events, of_events = damage_part(rental, photos=photos)
    promise = promise_document(rental)
    document = {
        **promise,
        "rental": promise["rental"] | _returned(walks, zone),
        "legs": [_leg(number, walked, frozen["distance_unit"], sources) for number, walked in enumerate(legs)],
        "kits": list(_kits(legs, sources)),
        "equipment": list(_missing_equipment(legs, sources, frozen)),
        **_waste(legs, sources),
        **events,
        "sources": sources.found | of_events,
    }
    return with_desk(with_trip(document, rental), desk, legs[-1].sheet)


def _walked_legs(walks: list[WalkRound]) -> list[WalkedLeg]:
    answers = answers_of(walks)
    by_leg: dict[UUID, dict[str, WalkRound]] = {}
    for walk in walks:
        by_leg.setdefault(walk.leg_id, {})[walk.kind] = walk
    return [
        WalkedLeg(
            leg=pair["pickup"].leg,
            sheet=pair["pickup"].sheet.data,
            out=answers[pair["pickup"].pk],
            back=answers[pair["return"].pk] if "return" in pair else NOTHING,
            without_sheet=bool(pair["pickup"].paper and pair["pickup"].paper.is_lost),
        )
        for pair in by_leg.values()
        if "pickup" in pair
    ]


def _photos_by_subject(walks: list[WalkRound]) -> dict[UUID, list[str]]:
    found: dict[UUID, list[str]] = {}
    for pk, subject in Photo.objects.filter(walk__in=walks).values_list("pk", "subject"):
        if subject:
            found.setdefault(subject, []).append(str(pk))
    return found


def _returned(walks: list[WalkRound], zone: str) -> dict[str, Any]:
    last = next((walk for walk in reversed(walks) if walk.is_return), None)
    if last is None or last.arrived_at is None:
        return {}
    method = "key_drop" if last.mode == WalkRound.Mode.KEY_DROP else "attended"
    return {"returned_at": wall(last.arrived_at, zone), "return_method": method}


def _leg(number: int, walked: WalkedLeg, distance_unit: str, sources: Sources) -> dict[str, Any]:
    document: dict[str, Any] = {"unit": walked.leg.unit.number}
    gas: list[dict[str, Any]] = []
    for _, ask in walked.sheet.instruments():
        path = f"legs[{number}]"
        if ask.measures == "fuel":
            document["fuel"] = _fuel(f"{path}.fuel", walked, ask, sources)
        elif ask.measures == "gas":
            gas.append(_cylinder(f"{path}.gas[{len(gas)}]", walked, ask, sources))
        elif ask.measures == "odometer":
            document |= _odometer(path, walked, ask, distance_unit, sources)
    return document | ({"gas": gas} if gas else {})


def _level(reading: Reading | None, ask: InstrumentAsk) -> str | None:
    """With the decimals of the instrument; null is "not read"."""
    return as_read(reading.value, ask.resolution) if reading and reading.value is not None else None


def _fuel(path: str, walked: WalkedLeg, ask: InstrumentAsk, sources: Sources) -> dict[str, Any]:
    out, back = walked.out.readings.get(ask.id), walked.back.readings.get(ask.id)
    sources.note(f"{path}.out_l", out, instrument=ask.instrument)
    sources.note(f"{path}.in_l", back, instrument=ask.instrument)
    return {
        "tank_l": figure(ask.capacity or 0),
        "out_l": _level(out, ask),
        "in_l": _level(back, ask),
        "half_width_out_l": figure(out.half_width if out else ask.half_width),
        "half_width_in_l": figure(back.half_width if back else ask.half_width),
    }


def _cylinder(path: str, walked: WalkedLeg, ask: InstrumentAsk, sources: Sources) -> dict[str, Any]:
    out, back = walked.out.readings.get(ask.id), walked.back.readings.get(ask.id)
    sources.note(f"{path}.gross_out_kg", out, instrument=ask.instrument)
    sources.note(f"{path}.gross_in_kg", back, instrument=ask.instrument)
    return {
        "id": ask.name,
        "tare_kg": figure(ask.tare_kg or 0),
        "net_kg": figure(ask.net_kg or 0),
        "gross_out_kg": _level(out, ask),
        "gross_in_kg": _level(back, ask),
        "half_width_out_kg": figure(out.half_width if out else ask.half_width),
        "half_width_in_kg": figure(back.half_width if back else ask.half_width),
    }


def _odometer(
    path: str, walked: WalkedLeg, ask: InstrumentAsk, unit: str, sources: Sources
) -> dict[str, Any]:  # fmt: skip
    document: dict[str, Any] = {}
    for name, answers in (("odo_out", walked.out), ("odo_in", walked.back)):
        reading = answers.readings.get(ask.id)
        sources.note(f"{path}.{name}", reading, instrument=ask.instrument)
        read = reading is not None and reading.value is not None
        document[name] = round(in_unit(reading.value, unit)) if read else None  # type: ignore[union-attr, arg-type]
    return document


def _kits(legs: list[WalkedLeg], sources: Sources) -> Iterator[dict[str, Any]]:
    """The kits of every unit that was used; one that nobody looked at on both walk-rounds has no baseline."""
    count = 0
    for walked in legs:
        if walked.without_sheet:
            continue
        for _, ask in walked.sheet.kits():
            out, back = walked.out.seals.get(ask.id), walked.back.seals.get(ask.id)
            if back is None or back.state == "not_inspected" or (out and out.state == "not_present"):
                continue
            gone = list(ask.contents) if back.state == "not_present" else []
            sources.note(f"kits[{count}].seal_intact", back, instrument="seal")
            count += 1
            yield {"kit": ask.code, "seal_intact": back.state == "whole", "missing": gone or list(back.used)} | (
                {"seal_out": out.seal_number or ask.seal_number, "seal_in": back.seal_number}
                if ask.sealed and out and back.seal_number
                else {}
            )


def _missing_equipment(
    legs: list[WalkedLeg], sources: Sources, frozen: Mapping[str, Any]
) -> Iterator[dict[str, Any]]:  # fmt: skip
    """What was there at pickup and is not at return, unit by unit. Not counted at either end: no baseline."""
    count = 0
    for walked in legs:
        for _, ask in walked.sheet.counts():
            out, back = walked.out.counts.get(ask.id), walked.back.counts.get(ask.id)
            price = price_of(ask, walked.sheet, frozen)
            if not out or not back or out.present is None or back.present is None or price is None:
                continue
            if back.present >= out.present:
                continue
            sources.note(f"equipment[{count}].qty", back, instrument="count")
            count += 1
            yield item_entry(ask, out.present - back.present, price)


def _waste(legs: list[WalkedLeg], sources: Sources) -> dict[str, Any]:
    """The last unit's tanks: who gives a unit up on the road cannot drive it to a dump point first."""
    found: dict[str, Any] = {}
    names = {"waste_water": "grey_pct", "cassette": "toilet_pct"}
    for walked in legs[-1:]:
        if walked.without_sheet:
            continue
        for _, ask in walked.sheet.instruments():
            back = walked.back.readings.get(ask.id)
            if ask.measures in names and back and back.value is not None and ask.capacity:
                found[names[ask.measures]] = int(back.value * 100 / ask.capacity)
                sources.note(f"waste.{names[ask.measures]}", back, instrument=ask.instrument)
    return {"waste": found} if found else {}
