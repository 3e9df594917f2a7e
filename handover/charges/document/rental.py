"""The agreement and its times, as signed: currency, tax, pickup, return, extension, deposit."""
# ruff: noqa: RUF009, FBT003 (key() makes a dataclass field, with its default)

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from handover.charges.document.intake import Impossible, Record, key, record
from handover.charges.document.kinds import (
    Moment,
    decimal,
    flag,
    list_of,
    map_of,
    moment,
    one_of,
    text,
    whole,
)
from shared.money import UnknownCurrency, exponent

OUTSIDE_SCOPE = ("DAMAGE", "LOSS_OF_USE", "TOLL", "FINE")


@dataclass(frozen=True, slots=True, kw_only=True)
class Currency(Record):
    """The currency of the agreement; `exponent` is its digits after the point."""

    path: str
    code: str = key(text)
    stated_exponent: int | None = key(whole(), None, name="exponent")

    @property
    def exponent(self) -> int:
        return exponent(self.code) if self.stated_exponent is None else self.stated_exponent

    def impossible(self) -> Impossible:
        try:
            digits = exponent(self.code)
        except UnknownCurrency as error:
            yield "code", str(error)
            return
        if self.stated_exponent not in (None, digits):
            yield "exponent", f"{self.code} has {digits} digits after the point, not {self.stated_exponent}."


@dataclass(frozen=True, slots=True, kw_only=True)
class Tax(Record):
    """Tax: contained in the prices (inclusive) or added to them (exclusive). Rates are fractions: "0.20" is 20 %."""

    path: str
    mode: str = key(one_of("inclusive", "exclusive"))
    rate: Decimal = key(decimal(0, 1, hint='A rate is a fraction: "0.20" is 20 %.'))
    rounding: str = key(one_of("per_line", "per_group"), "per_line")
    outside_scope: tuple[str, ...] = key(list_of(text), OUTSIDE_SCOPE)
    rates: Mapping[str, Decimal] = key(map_of(decimal(0, 1)), {})
    classes: Mapping[str, str] = key(map_of(text), {})

    def class_of(self, code: str) -> str:
        """The tax class of a line code: outside the scope of tax, a class of its own, or standard."""
        return "outside_scope" if code in self.outside_scope else self.classes.get(code, "standard")

    def rate_of(self, tax_class: str) -> Decimal:
        if tax_class in ("outside_scope", "zero"):
            return Decimal(0)
        return self.rates.get(tax_class, self.rate)

    def known(self, tax_class: str) -> bool:
        return tax_class in ("standard", "zero", "outside_scope") or tax_class in self.rates

    def impossible(self) -> Impossible:
        for code, tax_class in self.classes.items():
            if not self.known(tax_class):
                yield f"classes.{code}", f'No rate is given for the class "{tax_class}"; it belongs into tax.rates.'


@dataclass(frozen=True, slots=True, kw_only=True)
class Extension(Record):
    """More days, agreed during the trip. Only a confirmed one counts."""

    path: str
    days: int = key(whole())
    day_rate: Decimal = key(decimal())
    new_return_at: Moment = key(moment(fold=1))
    agreed_at: Moment | None = key(moment(fold=0), None)
    channel: str | None = key(text, None)
    confirmed: bool = key(flag, True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait(Record):
    """A time in which the customer waited on the operator: breakdown, instruction, swap."""

    path: str
    start: Moment = key(moment(fold=0), name="from")
    end: Moment = key(moment(fold=1), name="to")
    cause: str | None = key(text, None)

    def impossible(self) -> Impossible:
        if self.end.utc < self.start.utc:
            yield "to", "The wait ends before it begins, which cannot be; the two times may be swapped."


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop(Record):
    """When lateness stopped counting: a report of theft or breakdown, or the operator's instruction."""

    path: str
    at: Moment = key(moment(fold=0))
    cause: str = key(one_of("theft_report", "breakdown_report", "operator_instruction"))


@dataclass(frozen=True, slots=True, kw_only=True)
class NextBooking(Record):
    """What the next customer, displaced by the lateness, actually cost, with the proof."""

    path: str
    cost: Decimal = key(decimal())
    proof: str | None = key(text, None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rental(Record):
    """The rental's times and promises. Twice-shown hours are read in the customer's favour."""

    path: str
    pickup_at: Moment = key(moment(fold=1))
    charge_days: int = key(whole(), 0)
    scheduled_return_at: Moment = key(moment(fold=1))
    returned_at: Moment | None = key(moment(fold=0), None)
    arrived_at: Moment | None = key(moment(fold=0), None)
    return_method: str = key(one_of("attended", "key_drop"), "attended")
    extension: Extension | None = key(record(Extension), None)
    extensions: tuple[Extension, ...] = key(list_of(record(Extension)), ())
    operator_distance: Decimal = key(decimal(), Decimal(0))
    operator_waits: tuple[Wait, ...] = key(list_of(record(Wait)), ())
    stops_at: Stop | None = key(record(Stop), None)
    next_booking: NextBooking | None = key(record(NextBooking), None)
    deposit_held: Decimal = key(decimal(), Decimal(0))

    @property
    def agreed_extensions(self) -> tuple[Extension, ...]:
        every = (self.extension, *self.extensions) if self.extension else self.extensions
        return tuple(one for one in every if one.confirmed)

    @property
    def due_back(self) -> Moment:
        """The scheduled return, replaced by the last confirmed extension."""
        agreed = self.agreed_extensions
        return agreed[-1].new_return_at if agreed else self.scheduled_return_at

    @property
    def charged_days(self) -> int:
        return self.charge_days + sum(one.days for one in self.agreed_extensions)

    def impossible(self) -> Impossible:
        for name, moment_ in (("scheduled_return_at", self.scheduled_return_at), ("returned_at", self.returned_at)):
            if moment_ is not None and moment_.utc < self.pickup_at.utc:
                yield (
                    name,
                    f"{moment_.text} is before the pickup at {self.pickup_at.text}, which cannot be; a later time can. "
                    "Day and month, or the year, may be mistyped.",
                )
        if self.arrived_at and self.returned_at and self.arrived_at.utc > self.returned_at.utc:
            yield "arrived_at", "Arrival at the gate is after the return itself, which cannot be; swap the two."
