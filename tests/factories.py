"""Rows for tests, with the demo's values: Unit 407 of Inverlark, Maren Oduya, 14 to 18 August 2026."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import factory
from factory.django import DjangoModelFactory

from fleet.models import (
    Branch,
    CheckItem,
    Equipment,
    Fitting,
    Instrument,
    Kit,
    Layout,
    OpeningHours,
    Posting,
    Station,
    Topic,
    Unit,
    UnitKit,
)
from handover.acting import Act
from handover.rental.models import Customer, Driver, ExtraOffer, Leg, RateCard, Rental, RentalExtra
from shared.access.models import Person
from shared.ids import uuid7

NINE = datetime(2026, 8, 14, 8, 0, tzinfo=UTC)
OUT_AT = datetime(2026, 8, 14, 9, 0, tzinfo=UTC)
BACK_AT = datetime(2026, 8, 18, 10, 0, tzinfo=UTC)
PASSWORD = "level-pegging"

RULES: dict[str, Any] = {
    "fuel": {
        "policy": "same_to_same",
        "price_per_litre": "1.62",
        "service_fee": "0.00",
        "tolerance_mode": "instrument",
        "surplus": "no_refund",
    },
    "gas": {"policy": "by_weight", "price_per_kg": "4.60", "tolerance_mode": "instrument"},
    "kits": {"first_aid": {"mode": "whole_kit", "kit_price": "42.00"}},
    "late": {
        "grace_min": 30,
        "block_min": 60,
        "rate_per_block": "25.00",
        "daily_cap": "140.00",
        "count_from": "scheduled",
        "clock": "elapsed",
    },
}


def an_act(by: Person, *, at: datetime = NINE, **said: Any) -> Act:
    """An act as a page would make it: a fresh key, on tablet 2."""
    return Act(by=by, at=at, **{"key": uuid7(), "device": "tablet 2", **said})


class BranchFactory(DjangoModelFactory[Branch]):
    class Meta:
        model = Branch
        django_get_or_create = ("code",)

    code = "inverlark"
    name = "Inverlark"
    operator = "Larkmoor Campers"
    prefix = "LK"
    zone = "Europe/London"
    currency = "GBP"
    tax_mode = "inclusive"
    tax_rate = Decimal("0.2")
    tax_rounding = "per_line"
    traffic_side = "left"


class PortAverilFactory(BranchFactory):
    code = "port-averil"
    name = "Port Averil"
    prefix = "PA"
    zone = "America/Halifax"
    currency = "CAD"
    tax_mode = "exclusive"
    tax_rate = Decimal("0.15")
    country = "CA"
    traffic_side = "right"


class OpeningHoursFactory(DjangoModelFactory[OpeningHours]):
    class Meta:
        model = OpeningHours

    branch = factory.SubFactory(BranchFactory)
    weekday = 0
    opens = "08:00"
    closes = "18:00"


class PersonFactory(DjangoModelFactory[Person]):
    """A host of Inverlark; `branches` are the postings."""

    class Meta:
        model = Person
        django_get_or_create = ("username",)
        skip_postgeneration_save = True

    username = "isla"
    first_name = "Isla"
    last_name = "Macrae"
    role = "host"
    password = factory.django.Password(PASSWORD)

    @factory.post_generation
    def branches(self, create: bool, extracted: Any, **kwargs: Any) -> None:
        for branch in [BranchFactory()] if extracted is None else extracted:
            Posting.objects.get_or_create(person=self, branch=branch)


class ReturnBayFactory(PersonFactory):
    """Callum."""

    username = "callum"
    first_name = "Callum"
    last_name = "Reid"
    role = "return_bay"


class StationFactory(DjangoModelFactory[Station]):
    class Meta:
        model = Station

    number = 1
    name = "Filler"
    where = "Road side, behind the driver’s door."
    x_mm = 1590
    y_mm = 2600


class CheckItemFactory(DjangoModelFactory[CheckItem]):
    class Meta:
        model = CheckItem

    code = "filler_cap"
    text = "Cap and flap"
    good = "Good"
    bad = "Bad"


class InstrumentFactory(DjangoModelFactory[Instrument]):
    class Meta:
        model = Instrument

    code = "diesel"
    name = "Diesel"
    measures = "fuel"
    unit = "L"
    capacity = Decimal(90)
    steps = 16
    resolution = Decimal("0.5")
    half_width = Decimal("1.5")


class CylinderFactory(InstrumentFactory):
    code = "gas_front"
    name = "Front"
    instrument = "scale"
    measures = "gas"
    unit = "kg"
    capacity = None
    steps = 6
    resolution = Decimal("0.1")
    half_width = Decimal("0.1")
    tare_kg = Decimal("5.9")
    net_kg = Decimal(6)


class OdometerFactory(InstrumentFactory):
    code = "odometer"
    name = "Odometer"
    instrument = "display"
    measures = "odometer"
    unit = "km"
    capacity = None
    steps = 1
    resolution = Decimal(1)
    half_width = Decimal(0)


class KitFactory(DjangoModelFactory[Kit]):
    class Meta:
        model = Kit

    code = "first_aid"
    name = "First aid kit"
    contents = ("burn dressing", "bandage", "plasters")


class EquipmentFactory(DjangoModelFactory[Equipment]):
    class Meta:
        model = Equipment

    code = "straps"
    name = "Straps"
    quantity = 2
    price = Decimal("9.00")
    life_months = 60


class TopicFactory(DjangoModelFactory[Topic]):
    class Meta:
        model = Topic

    code = "gas_valves"
    severity = "S"
    title = "Gas valves"
    text = "Shut both valves before driving. If you smell gas: valves shut, doors open, no flame, all out."


class LayoutFactory(DjangoModelFactory[Layout]):
    """A panel van with two stations. 1 Filler: diesel, odometer, a check. 2 Gas locker: everything else."""

    class Meta:
        model = Layout
        django_get_or_create = ("code",)
        skip_postgeneration_save = True

    code = "skerry"
    name = "Skerry"
    body = "panel_van"
    length_mm = 5990
    width_mm = 2050
    height_mm = 2850
    axles_mm = (950, 4850)
    running_mass_kg = 2890
    max_mass_kg = 3500
    berths = 2
    belted_seats = 4
    currency = "GBP"

    @factory.post_generation
    def stations(self, create: bool, extracted: Any, **kwargs: Any) -> None:
        if extracted is not None or self.stations.exists():
            return
        Fitting.objects.create(layout=self, kind="gas_locker", x_mm=-945, y_mm=4930, w_mm=480, h_mm=990)
        _fill_filler(StationFactory(layout=self))
        _fill_gas_locker(
            StationFactory(
                layout=self, number=2, name="Gas locker", where="Kerb side, rear. The door drops down.",
                x_mm=-1590, y_mm=5300, way=[[1590, 6500], [-1590, 6500]],
            )
        )  # fmt: skip


def _fill_filler(station: Station) -> None:
    CheckItemFactory(station=station)
    CheckItemFactory(station=station, code="right_fuel", text="Right fuel", good="Diesel", bad="Other", at="return")
    InstrumentFactory(station=station)
    OdometerFactory(station=station, order=1)


def _fill_gas_locker(station: Station) -> None:
    CheckItemFactory(
        station=station, code="gas_smell", text="Smell of gas", good="None", bad="Smell", safety=True,
        stop_sentence="Gas smell: this unit stays. Valves shut, doors open, all out.",
    )  # fmt: skip
    CheckItemFactory(station=station, code="drain", text="Floor drain clear", good="Clear", bad="Not", order=1)
    CylinderFactory(station=station)
    KitFactory(station=station)
    EquipmentFactory(station=station)
    TopicFactory(station=station)
    TopicFactory(station=station, code="ventilation", severity="D", title="Vents", text="Never cover them.", order=1)


class UnitFactory(DjangoModelFactory[Unit]):
    """With seal 93412 on its first aid kit."""

    class Meta:
        model = Unit
        django_get_or_create = ("number",)
        skip_postgeneration_save = True

    branch = factory.SubFactory(BranchFactory)
    layout = factory.SubFactory(LayoutFactory)
    number = "407"
    plate = factory.LazyAttribute(lambda unit: f"LRK {unit.number}")
    odometer_km = 66_290
    in_service_on = date(2024, 5, 13)

    @factory.post_generation
    def kits(self, create: bool, extracted: Any, **kwargs: Any) -> None:
        for kit in Kit.objects.filter(station__layout=self.layout):
            UnitKit.objects.get_or_create(unit=self, kit=kit, defaults={"seal_number": "93412"})


class CustomerFactory(DjangoModelFactory[Customer]):
    class Meta:
        model = Customer

    name = "Maren Oduya"
    email = "maren@example.org"


class RateCardFactory(DjangoModelFactory[RateCard]):
    class Meta:
        model = RateCard
        django_get_or_create = ("branch", "number")

    branch = factory.SubFactory(BranchFactory)
    number = 7
    valid_from = date(2026, 1, 1)
    rules = RULES


class ExtraOfferFactory(DjangoModelFactory[ExtraOffer]):
    class Meta:
        model = ExtraOffer
        django_get_or_create = ("branch", "code")

    branch = factory.SubFactory(BranchFactory)
    code = "fuel-20"
    name = "20 L"
    covers = factory.LazyFunction(lambda: {"limits": {"fuel_litres": "20"}})
    price = Decimal("29.00")


class RentalFactory(DjangoModelFactory[Rental]):
    """Booked on unit 407 with one leg and a rate card. `leg` names another unit, `extras` are offers bought."""

    class Meta:
        model = Rental
        skip_postgeneration_save = True

    number = factory.Sequence(lambda n: f"LK-{20418 + n}")
    branch = factory.SubFactory(BranchFactory)
    customer = factory.SubFactory(CustomerFactory)
    planned_out_at = OUT_AT
    planned_back_at = BACK_AT
    charged_days = 4
    excess = Decimal("1000.00")
    deposit_held = Decimal("500.00")

    @factory.post_generation
    def leg(self, create: bool, extracted: Any, **kwargs: Any) -> None:
        Leg.objects.create(rental=self, unit=extracted or UnitFactory(branch=self.branch))
        Driver.objects.create(rental=self, name=self.customer.name)
        RateCardFactory(branch=self.branch)

    @factory.post_generation
    def extras(self, create: bool, extracted: Any, **kwargs: Any) -> None:
        for offer in extracted or []:
            RentalExtra.objects.create(
                rental=self, name=offer.name, covers=offer.covers, price=offer.price,
                purchased_at=datetime(2026, 8, 1, 9, tzinfo=UTC),
            )  # fmt: skip
