"""One thing of the equipment as the pricing document says it."""

from collections.abc import Mapping
from typing import Any

from handover.walkround.sheet import CountAsk, SheetData

FIVE_YEARS = 60


def price_of(ask: CountAsk, sheet: SheetData, frozen: Mapping[str, Any]) -> str | None:
    """The rate card's price of one, else the layout's; None when that is in another currency."""
    prices = frozen["rules"].get("equipment", {}).get("prices", {})
    return prices.get(ask.code) or (str(ask.price) if sheet.currency == frozen["currency"] else None)


def item_entry(ask: CountAsk, qty: int, price: str) -> dict[str, Any]:
    return {
        "item": ask.name,
        "qty": qty,
        "price": price,
        "age_months": ask.age_months,
        "life_months": ask.life_months or FIVE_YEARS,
        "betterment": ask.age_reduced and ask.life_months is not None,
    }
