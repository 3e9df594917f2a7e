"""What parts of a document cannot be together, though each can be alone."""

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING

from handover.charges.document.intake import Impossible
from handover.charges.document.kinds import NOT_APPLICABLE

if TYPE_CHECKING:
    from handover.charges.document.case import Case
    from handover.charges.document.legs import Cylinder, FuelReadings


def impossible_together(case: "Case") -> Impossible:
    for check in CHECKS:
        yield from check(case)


def _half_widths(case: "Case") -> Impossible:
    """The instrument mode needs to know every instrument's doubt."""
    fuel, gas = case.rules.fuel, case.rules.gas
    for leg in case.legs:
        if fuel is not None and fuel.tolerance_mode == "instrument" and leg.fuel is not None and leg.fuel.in_litres:
            yield from _fuel_half_widths(leg.fuel)
        if gas is not None and gas.tolerance_mode == "instrument":
            for cylinder in leg.gas:
                yield from _gas_half_widths(cylinder)


def _fuel_half_widths(fuel: "FuelReadings") -> Impossible:
    for name, width in (("half_width_out_l", fuel.half_width_out_l), ("half_width_in_l", fuel.half_width_in_l)):
        if width is None:
            yield f"{fuel.path}.{name}", "The tolerance mode is instrument: the half-width of this reading is missing."


def _gas_half_widths(cylinder: "Cylinder") -> Impossible:
    for name, gross, width in (
        ("half_width_out_kg", cylinder.gross_out_kg, cylinder.half_width_out_kg),
        ("half_width_in_kg", cylinder.gross_in_kg, cylinder.half_width_in_kg),
    ):
        if isinstance(gross, Decimal) and width is None:
            yield (
                f"{cylinder.path}.{name}",
                "The tolerance mode is instrument: the half-width of this weighing is missing.",
            )


def _pump(case: "Case") -> Impossible:
    for leg in case.legs:
        if leg.fuel is None or leg.fuel.pump_litres is None:
            continue
        if case.rules.fuel is not None and case.rules.fuel.measure != "pump":
            yield (
                f"{leg.fuel.path}.pump_litres",
                'Litres by the pump receipt count only with rules.fuel.measure "pump"; here it is "gauge".',
            )
        if leg.fuel.out_l is NOT_APPLICABLE and leg.fuel.steps is None:
            yield f"{leg.fuel.path}.out", "Litres by the pump receipt need the level at pickup, in steps or as out_l."


def _kit_items(case: "Case") -> Impossible:
    for kit in case.kits:
        rate = case.rules.kits.get(kit.kit)
        if rate is None or rate.mode != "per_item":
            continue
        for number, item in enumerate(kit.missing):
            if item not in rate.items:
                known = ", ".join(rate.items) or "none"
                yield f"{kit.path}.missing[{number}]", f'"{item}" has no price in this kit; priced items are {known}.'


def _receipt_currencies(case: "Case") -> Impossible:
    for receipt in case.gas_receipts:
        foreign = receipt.currency not in (None, case.currency.code)
        if foreign and receipt.card_amount is None and receipt.rate is None:
            yield (
                f"{receipt.path}.currency",
                f"A receipt in {receipt.currency} needs card_amount in {case.currency.code}, or the day's rate.",
            )


def _tax_classes(case: "Case") -> Impossible:
    by_hand = [(one.path, one.tax_class) for one in case.credits] + [
        (one.path, one.tax_class) for one in case.manual_lines
    ]
    for path, tax_class in by_hand:
        if tax_class is not None and not case.tax.known(tax_class):
            yield f"{path}.tax_class", f'No rate is given for the class "{tax_class}" in tax.rates.'


def _charged_days(case: "Case") -> Impossible:
    distance = case.rules.distance
    counted = distance is not None and distance.included_per_day and distance.charged_days_basis is None
    if counted and case.rental.charged_days == 0:
        yield "rental.charge_days", "A distance allowance by the day needs the charged days here, 1 or more."


def _extensions(case: "Case") -> Impossible:
    before = case.rental.scheduled_return_at
    for extension in case.rental.agreed_extensions:
        if extension.new_return_at.utc < before.utc:
            yield (
                f"{extension.path}.new_return_at",
                f"{extension.new_return_at.text} is before the return it extends, {before.text}, which cannot be.",
            )
        before = extension.new_return_at


def _event_ids(case: "Case") -> Impossible:
    seen: set[str] = set()
    for event in case.events:
        if event.id in seen:
            yield f"{event.path}.id", f"Two events cannot both be {event.id}; each has an id of its own."
        seen.add(event.id)


CHECKS: tuple[Callable[["Case"], Impossible], ...] = (
    _half_widths,
    _pump,
    _kit_items,
    _receipt_currencies,
    _tax_classes,
    _charged_days,
    _extensions,
    _event_ids,
)


def held_at(document: Mapping[str, object], field: str) -> tuple[bool, object]:
    """Whether the document holds something at a path like `legs[0].fuel.out`, and what."""
    here: object = document
    for step in _steps(field):
        if isinstance(here, Mapping) and step in here:
            here = here[step]
        elif isinstance(here, list | tuple) and step.isdigit() and int(step) < len(here):
            here = here[int(step)]
        else:
            return False, None
    return True, here


def _steps(field: str) -> Iterator[str]:
    for part in field.replace("]", "").split("."):
        yield from part.split("[")


def same_value(left: object, right: object) -> bool:
    """6, "6" and "6.0" are one reading."""
    try:
        return Decimal(str(left)) == Decimal(str(right))
    except ArithmeticError:
        return left == right
