"""What the return found besides levels, counts and marks. Without a photo nothing of it is charged."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.counter.evidence import Evidence, Shows, keep_evidence, last_return
from handover.counter.guard import BEING_LOOKED_AT, begin, needed, never_dearer_after_the_cut_off
from handover.counter.models import ItemFinding, KitUse, Soiling, TankFinding
from handover.photo.models import Photo
from handover.rental.models import Rental
from handover.settlement.amounts import check_amount
from handover.walkround.guard import asked
from shared.access.roles import Right
from shared.clock import local
from shared.dates import dated
from shared.ledger.personal import worded
from shared.phrasebook import in_house_language

M = TypeVar("M", Soiling, TankFinding, KitUse, ItemFinding)
MOST_BAGS = 50


def _begin(rental: Rental, model: type[M], kind: str, act: Act) -> M | None:
    return begin(rental, model, kind, act, right=Right.RETURN, states=BEING_LOOKED_AT)


@transaction.atomic
def look_at_zone(
    rental: Rental, *, zone: str, tier: str, cause: str, act: Act, evidence: Evidence | None = None, words: str = ""
) -> Soiling:
    """One tier for a zone. A tier that costs needs a photo to be charged; without one the finding stands alone."""
    if earlier := _begin(rental, Soiling, "zone.looked_at", act):
        return earlier
    if zone not in Soiling.Zone.values or tier not in Soiling.Tier.values or cause not in Soiling.Cause.values:
        raise CannotBe(_("Choose the zone, how it came back, and the cause from the lists."), "tier")
    with never_dearer_after_the_cut_off(rental, act):
        row = Soiling.objects.create(
            id=act.key, rental=rental, zone=zone, tier=tier, cause=cause, words=words.strip(), at=act.at, by=act.by
        )
        photos = _photos(rental, row, evidence, Shows(_return_of(row)), act)
    _write(row, "zone.looked_at", photos, act, zone=zone, tier=tier, cause=cause)
    return row


@in_house_language
def _return_of(row: Soiling) -> str:
    """What its photos show: kept with them, so in the house's words."""
    return f"{row.get_zone_display()}, return"


@dataclass(frozen=True, slots=True)
class Tanks:
    """foul_water says what is in it besides water; its repair is in the branch's currency, None while unknown."""

    rubbish_bags: int = 0
    toilet_rinsed: bool = True
    foul_water: str = ""
    foul_water_repair: Decimal | None = None


@transaction.atomic
def look_at_tanks(
    rental: Rental, *, found: Tanks, act: Act, evidence: Evidence | None = None, words: str = ""
) -> TankFinding:
    """Rubbish left behind, the cassette not rinsed, something other than water in the fresh tank."""
    if earlier := _begin(rental, TankFinding, "tanks.looked_at", act):
        return earlier
    if not 0 <= found.rubbish_bags <= MOST_BAGS:
        raise CannotBe(
            _("%(rubbish_bags)s bags cannot be. Write 0 to %(most)s.")
            % {"rubbish_bags": found.rubbish_bags, "most": MOST_BAGS},
            "rubbish_bags",
        )
    if found.foul_water_repair is not None:
        needed(found.foul_water, "foul_water", _("Say what is in the fresh water before its repair is priced."))
        check_amount(found.foul_water_repair, rental.currency, "foul_water_repair")
    with never_dearer_after_the_cut_off(rental, act):
        row = TankFinding.objects.create(
            id=act.key, rental=rental, rubbish_bags=found.rubbish_bags, toilet_rinsed=found.toilet_rinsed,
            foul_water=found.foul_water.strip(), foul_water_repair=found.foul_water_repair,
            words=words.strip(), at=act.at, by=act.by,
        )  # fmt: skip
        photos = _photos(rental, row, evidence, Shows("Tanks and rubbish, return"), act)
    _write(
        row, "tanks.looked_at", photos, act, rubbish_bags=row.rubbish_bags, toilet_rinsed=row.toilet_rinsed,
        foul_water=row.foul_water, repair=str(row.foul_water_repair) if row.foul_water_repair is not None else None,
    )  # fmt: skip
    return row


@transaction.atomic
def explain_kit(rental: Rental, *, kit: str, report: str, words: str, act: Act) -> KitUse:
    """Why a safety kit was opened. With a report of an injury or a fire it is free."""
    if earlier := _begin(rental, KitUse, "kit.explained", act):
        return earlier
    if kit not in {ask.code for _, ask in last_return(rental).sheet.data.kits()}:
        raise CannotBe(_("This kit is not in this unit."), "kit")
    if report not in KitUse.Report.values:
        raise CannotBe(_("Choose the report from the list."), "report")
    if report != KitUse.Report.NONE:
        needed(words, "words", _("Give the report’s number, or who wrote it and when."))
    with never_dearer_after_the_cut_off(rental, act):
        row = KitUse.objects.create(
            id=act.key, rental=rental, kit=kit, report=report, words=words.strip(), at=act.at, by=act.by
        )
    _write(row, "kit.explained", [], act, kit=kit, report=report)
    return row


@dataclass(frozen=True, slots=True)
class ItemState:
    """repair in the branch's currency; came_back_on is the branch's local day."""

    state: str
    quantity: int = 1
    repair: Decimal | None = None
    came_back_on: date | None = None


@transaction.atomic
def note_item(
    rental: Rental, *, item: UUID, found: ItemState, act: Act, evidence: Evidence | None = None, words: str = ""
) -> ItemFinding:
    """A thing that came back broken, or that turned up after it was counted as short."""
    if earlier := _begin(rental, ItemFinding, "item.noted", act):
        return earlier
    ask = asked((ask for _, ask in last_return(rental).sheet.data.counts()), item, "thing")
    _check_item(rental, found, ask.quantity, today=local(act.at, rental.branch.zone).date())
    with never_dearer_after_the_cut_off(rental, act):
        row = ItemFinding.objects.create(
            id=act.key, rental=rental, item_id=item, state=found.state, quantity=found.quantity, repair=found.repair,
            came_back_on=found.came_back_on, words=words.strip(), at=act.at, by=act.by,
        )  # fmt: skip
        photos = _photos(rental, row, evidence, Shows(f"{ask.name}, return", ask.id), act)
    _write(
        row, "item.noted", photos, act, item=str(item), equipment=ask.name, state=row.state, quantity=row.quantity,
        repair=str(row.repair) if row.repair is not None else None,
        came_back_on=row.came_back_on.isoformat() if row.came_back_on else None,
    )  # fmt: skip
    return row


def _check_item(rental: Rental, found: ItemState, belong: int, *, today: date) -> None:
    if found.state not in ItemFinding.State.values:
        raise CannotBe(_("Choose how it came back from the list."), "state")
    if not 1 <= found.quantity <= belong:
        broken = _("%(quantity)s cannot be broken: %(belong)s belong here. Write 1 to %(belong)s.")
        turned_up = _("%(quantity)s cannot be found: %(belong)s belong here. Write 1 to %(belong)s.")
        words = broken if found.state == ItemFinding.State.BROKEN else turned_up
        raise CannotBe(words % {"quantity": found.quantity, "belong": belong}, "quantity")
    if found.repair is not None:
        check_amount(found.repair, rental.currency, "repair")
    if found.state == ItemFinding.State.CAME_BACK and found.came_back_on is None:
        raise CannotBe(_("Give the day it turned up."), "came_back_on")
    if found.came_back_on is not None and found.came_back_on > today:
        raise CannotBe(
            _("%(came_back_on)s is still to come. Give the day it turned up.")
            % {"came_back_on": dated(found.came_back_on)},
            "came_back_on",
        )


def _photos(rental: Rental, row: Any, evidence: Evidence | None, shows: Shows, act: Act) -> list[Photo]:
    photos = keep_evidence(rental, evidence or Evidence(), shows, act=act)
    row.photos.set(photos)
    return photos


def _write(row: Any, kind: str, photos: list[Photo], act: Act, **told: Any) -> None:
    act.write(
        chain=row.rental_id,
        kind=kind,
        subject=row.pk,
        payload={**told, "words": worded(row.words), "photos": [photo.kept_sha256 for photo in photos]},
    )
