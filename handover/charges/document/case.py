"""One case: everything that a statement is priced from."""
# ruff: noqa: RUF009 (key() makes a dataclass field, with its default)

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from handover.charges.document.checks import impossible_together
from handover.charges.document.consumable_rates import CleaningRate, FuelRate, GasRate, KitRate, WasteRate
from handover.charges.document.damage_rates import (
    DamageRate,
    EquipmentRate,
    ExtrasRate,
    LateFindingsRate,
    LossOfUseRate,
    WaiverRate,
)
from handover.charges.document.desk import (
    Correction,
    Credit,
    Deferred,
    GasReceipt,
    LateFinding,
    ManualLine,
    Notice,
    PreviousSettlement,
    Waiver,
)
from handover.charges.document.extras import ZONES, Extra
from handover.charges.document.findings import Event, Kit, KnownMark, MissingItem, Soiling, Waste, soiling
from handover.charges.document.intake import Impossible, Record, key, record
from handover.charges.document.kinds import anything, list_of, map_of, one_of, text
from handover.charges.document.legs import Leg
from handover.charges.document.rental import Currency, Rental, Tax
from handover.charges.document.time_rates import AdminRate, DistanceRate, LateRate
from shared.money import round_half_up

SPOKEN_OF_A_CASE = frozenset({"id", "title", "tests", "why", "arithmetic", "expected"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules(Record):
    """The rate card as frozen at the pickup signature. An absent rule charges nothing."""

    path: str
    fuel: FuelRate | None = key(record(FuelRate), None)
    gas: GasRate | None = key(record(GasRate), None)
    kits: Mapping[str, KitRate] = key(map_of(record(KitRate)), {})
    late: LateRate | None = key(record(LateRate), None)
    distance: DistanceRate | None = key(record(DistanceRate), None)
    cleaning: Mapping[str, CleaningRate] = key(map_of(record(CleaningRate), one_of(*ZONES)), {})
    waste: WasteRate | None = key(record(WasteRate), None)
    equipment: EquipmentRate = key(record(EquipmentRate), EquipmentRate(path="rules.equipment"))
    damage: DamageRate | None = key(record(DamageRate), None)
    loss_of_use: LossOfUseRate | None = key(record(LossOfUseRate), None)
    admin: AdminRate = key(record(AdminRate), AdminRate(path="rules.admin"))
    late_findings: LateFindingsRate = key(record(LateFindingsRate), LateFindingsRate(path="rules.late_findings"))
    prepaid: ExtrasRate = key(record(ExtrasRate), ExtrasRate(path="rules.prepaid"))
    waivers: WaiverRate = key(record(WaiverRate), WaiverRate(path="rules.waivers"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Case(Record):
    """A document, read and found possible. `sources` is evidence for the caller; pricing never looks at it."""

    path: str
    currency: Currency = key(record(Currency))
    time_zone: str = key(text)
    tax: Tax = key(record(Tax))
    rental: Rental = key(record(Rental))
    rules: Rules = key(record(Rules))
    legs: tuple[Leg, ...] = key(list_of(record(Leg)), ())
    prepaid: tuple[Extra, ...] = key(list_of(record(Extra)), ())
    cleaning: Mapping[str, Soiling | None] = key(map_of(soiling, one_of(*ZONES)), {})
    waste: Waste | None = key(record(Waste), None)
    kits: tuple[Kit, ...] = key(list_of(record(Kit)), ())
    equipment: tuple[MissingItem, ...] = key(list_of(record(MissingItem)), ())
    events: tuple[Event, ...] = key(list_of(record(Event)), ())
    known_marks: tuple[KnownMark, ...] = key(list_of(record(KnownMark)), ())
    notices: tuple[Notice, ...] = key(list_of(record(Notice)), ())
    gas_receipts: tuple[GasReceipt, ...] = key(list_of(record(GasReceipt)), ())
    credits: tuple[Credit, ...] = key(list_of(record(Credit)), ())
    deferred: tuple[Deferred, ...] = key(list_of(record(Deferred)), ())
    late_findings: tuple[LateFinding, ...] = key(list_of(record(LateFinding)), ())
    waivers: tuple[Waiver, ...] = key(list_of(record(Waiver)), ())
    manual_lines: tuple[ManualLine, ...] = key(list_of(record(ManualLine)), ())
    corrections: tuple[Correction, ...] = key(list_of(record(Correction)), ())
    previous_settlement: PreviousSettlement | None = key(record(PreviousSettlement), None)
    sources: Mapping[str, object] = key(map_of(anything), {})

    def money(self, amount: Decimal) -> Decimal:
        """Rounded half up at the currency's own digits."""
        return round_half_up(amount, self.currency.exponent)

    def impossible(self) -> Impossible:
        return impossible_together(self)
