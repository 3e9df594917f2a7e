"""The price of one damaged part: by matrix, estimate or invoice, its growth alone, a tyre's tread left."""

from dataclasses import dataclass
from decimal import Decimal

from handover.charges.document.case import Case
from handover.charges.document.damage_rates import DamageRate, SizePrice
from handover.charges.document.findings import DamageItem, Event
from handover.charges.sheet import ZERO, Charge, Finding, Why
from handover.charges.workings import Step, divided, minus, spoken, start, times


@dataclass(frozen=True, slots=True)
class Quote:
    """A price for a repair and where it stands."""

    price: Decimal
    label: str
    source: str


def priced(case: Case, rate: DamageRate, event: Event, item: DamageItem, known: Decimal | None) -> Charge | Finding:
    """The item at its full price, before any excess; a finding while nobody has named a price."""
    quote = _quote(rate, item)
    if quote is None:
        return Finding("DAMAGE", item.name, Why.PROVISIONAL, "Not charged yet: no price for the repair.")
    steps: tuple[Step, ...] = (start(quote.price, case.currency.code, quote.label, quote.source),)
    amount, more = _grown(case, rate, item, known, quote)
    steps = (*steps, *more)
    amount, more = _tread_left(item, amount)
    raw = case.money(amount)
    if not raw:
        return Finding("DAMAGE", item.name, Why.FAIR_WEAR, "Not charged: nothing was lost by it.")
    return Charge("DAMAGE", item.name, raw, (*steps, *more), _measure(item), event.id)


def _measure(item: DamageItem) -> str:
    size = f" {spoken(item.size_mm)} mm" if isinstance(item.size_mm, Decimal) else ""
    return f"{item.kind or 'damage'}{size}"


def _quote(rate: DamageRate, item: DamageItem) -> Quote | None:
    """By the agreed way of pricing, else by the price there is.

    An invoice above its estimate does not raise the price: only a difference downwards is settled later.
    `minimum_repair` is the lowest price that any of them names.
    """
    quotes = _quotes(rate, item)
    named = {name: quote for name, quote in quotes.items() if quote is not None}
    if not named:
        return None
    if rate.pricing == "minimum_repair":
        return min(named.values(), key=lambda quote: quote.price)
    if rate.pricing == "invoice" and "invoice" in named:
        offers = [named[name] for name in ("invoice", "estimate", "repair") if name in named]
        return min(offers, key=lambda quote: quote.price)
    order = ("matrix",) if rate.pricing == "matrix" else ()
    return next(named[name] for name in (*order, "estimate", "repair", "invoice", "matrix") if name in named)


def _quotes(rate: DamageRate, item: DamageItem) -> dict[str, Quote | None]:
    repair_source = "rules.fuel.wrong_fuel.drain_fee" if item.path.startswith("rules.") else f"{item.path}.repair"
    by_matrix = _matrix_price(rate, item, item.size_mm)
    return {
        "repair": None if item.repair is None else Quote(item.repair, "repair", repair_source),
        "estimate": None if item.estimate is None else Quote(item.estimate, "estimate", f"{item.path}.estimate"),
        "invoice": None if item.invoice is None else Quote(item.invoice, "invoice", f"{item.path}.invoice"),
        "matrix": None if by_matrix is None else Quote(by_matrix.price, "repair matrix", f"{by_matrix.path}.price"),
    }


def _matrix_price(rate: DamageRate, item: DamageItem, size: object) -> SizePrice | None:
    classes = rate.matrix.get(item.part, {}).get(item.kind or "", ())
    for one in classes:
        if one.up_to_mm is None or (isinstance(size, Decimal) and size <= one.up_to_mm):
            return one
    return None


def _grown(
    case: Case, rate: DamageRate, item: DamageItem, known: Decimal | None, quote: Quote
) -> tuple[Decimal, tuple[Step, ...]]:
    """Of a mark known at pickup the increase alone: less its old size class in the matrix, else by its length."""
    if not known or not isinstance(item.size_mm, Decimal):
        return quote.price, ()
    before = _matrix_price(rate, item, known)
    if quote.label == "repair matrix" and before is not None:
        off = minus(before.price, case.currency.code, f"as it was, {spoken(known)} mm", f"{before.path}.price")
        return max(ZERO, quote.price - before.price), (off,)
    grown = item.size_mm - known
    return quote.price * grown / item.size_mm, (
        times(grown, "mm", f"grown from {spoken(known)} mm", f"{item.path}.known_size_mm"),
        divided(item.size_mm, "mm", "long now", f"{item.path}.size_mm"),
    )


def _tread_left(item: DamageItem, amount: Decimal) -> tuple[Decimal, tuple[Step, ...]]:
    """A tyre is charged by the tread it still had above the legal least, before any excess."""
    now, new, least = item.tread_now_mm, item.tread_new_mm, item.tread_min_mm
    if now is None or new is None or least is None:
        return amount, ()
    left = max(ZERO, now - least)
    return amount * left / (new - least), (
        times(left, "mm", f"of tread above {spoken(least)} mm", f"{item.path}.tread_now_mm"),
        divided(new - least, "mm", "when new", f"{item.path}.tread_new_mm"),
    )
