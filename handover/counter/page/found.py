"""What was found besides levels and marks: zones, tanks, kits that were opened, things."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from handover.counter.fetching import Place, photos_of, place_of, return_of
from handover.counter.guard import BEING_LOOKED_AT, cut_off
from handover.counter.models import ItemFinding, KitUse, Soiling, TankFinding
from handover.photo.models import Photo
from handover.rental.models import Rental
from handover.walkround.models import SealCheck, WalkRound
from handover.walkround.sheet import CountAsk, KitAsk
from shared.access.models import Person
from shared.access.roles import Right
from shared.money import money_text
from shared.phrasebook import inside


@dataclass(frozen=True, slots=True)
class ZoneRow:
    zone: str
    name: str
    found: Soiling | None
    price: str


@dataclass(frozen=True, slots=True)
class KitRow:
    ask: KitAsk
    use: KitUse | None


@dataclass(frozen=True, slots=True)
class ItemRow:
    ask: CountAsk
    counted: str
    found: ItemFinding | None


@dataclass(frozen=True, slots=True)
class FoundPage:
    place: Place
    zones: Sequence[ZoneRow]
    tanks: TankFinding | None
    kits: Sequence[KitRow]
    items: Sequence[ItemRow]
    asks: Sequence[CountAsk]
    photos: Sequence[Photo]
    may_note: bool
    until: datetime | None
    walk: WalkRound | None

    @property
    def rental(self) -> Rental:
        return self.place.rental


def found_page(rental: Rental, person: Person) -> FoundPage:
    """What was found besides levels and marks; `walk` None: the return has not begun."""
    walk = return_of(rental)
    sheet = walk.sheet.data if walk else None
    soiled = {
        row.zone: row for row in Soiling.objects.filter(rental=rental).select_related("by").prefetch_related("photos")
    }
    return FoundPage(
        place=place_of(rental),
        zones=[
            ZoneRow(value, str(name), soiled.get(value), _prices(rental, value)) for value, name in Soiling.Zone.choices
        ],
        tanks=TankFinding.objects.filter(rental=rental).select_related("by").prefetch_related("photos").last(),
        kits=_kits(rental, walk, [ask for _, ask in sheet.kits()] if sheet else []),
        items=_items(rental, walk, [ask for _, ask in sheet.counts()] if sheet else []),
        asks=[ask for _, ask in sheet.counts()] if sheet else [],
        photos=photos_of(rental),
        may_note=rental.state in BEING_LOOKED_AT and person.may(Right.RETURN),
        until=cut_off(rental),
        walk=walk,
    )


def _prices(rental: Rental, zone: str) -> str:
    """standard £55.00, heavy £140.00: what the frozen rate card says of a zone."""
    rate = (rental.frozen or {}).get("rules", {}).get("cleaning", {}).get(zone, {})
    known = [(tier, rate[tier]) for tier in ("standard", "heavy", "specialist") if rate.get(tier) is not None]
    return ", ".join(
        f"{inside(str(Soiling.Tier(tier).label))} {money_text(Decimal(str(price)), rental.currency)}"
        for tier, price in known
    )


def _kits(rental: Rental, walk: WalkRound | None, asks: Sequence[KitAsk]) -> list[KitRow]:
    """The kits that were opened."""
    uses = {row.kit: row for row in KitUse.objects.filter(rental=rental).select_related("by")}
    opened = (
        set(SealCheck.objects.filter(walk=walk, state="broken").values_list("item_id", flat=True)) if walk else set()
    )
    return [KitRow(ask, uses.get(ask.code)) for ask in asks if ask.id in opened or ask.code in uses]


def _items(rental: Rental, walk: WalkRound | None, asks: Sequence[CountAsk]) -> list[ItemRow]:
    """The things that are short, or that something was noted about."""
    found = {
        row.item_id: row
        for row in ItemFinding.objects.filter(rental=rental).select_related("by").prefetch_related("photos")
    }
    counts = {row.item_id: row.present for row in walk.counts.all()} if walk else {}
    short = {ask.id for ask in asks if (present := counts.get(ask.id)) is not None and present < ask.quantity}
    return [
        ItemRow(ask, _counted(counts.get(ask.id), ask.quantity), found.get(ask.id))
        for ask in asks
        if ask.id in found or ask.id in short
    ]


def _counted(present: int | None, belong: int) -> str:
    return (
        _("not counted, %(belong)s belong") % {"belong": belong}
        if present is None
        else _("%(present)s of %(belong)s") % {"present": present, "belong": belong}
    )
