"""The arithmetic of a line as steps: the same rows on screen, in the record and in the interface for programs."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class Sign(StrEnum):
    """What a step does to the figure so far, which begins at nothing."""

    START = ""
    PLUS = "+"
    MINUS = "−"
    TIMES = "×"
    DIVIDED = "÷"
    EQUALS = "="  # states the figure so far, rounded half up at the digits shown
    AT_LEAST = "at least"  # raises it to a minimum
    AT_MOST = "at most"  # holds it at a cap
    WHOLE = "up to whole"  # the next whole multiple: blocks begun


class Show(StrEnum):
    """How a step is shown."""

    FIGURE = "figure"
    SUBTOTAL = "subtotal"
    COVER = "cover"
    DUE = "due"


@dataclass(frozen=True, slots=True)
class Step:
    """One row: sign, quantity with its unit, what it is in words, and the path in the document it comes from."""

    sign: Sign
    quantity: Decimal
    unit: str
    label: str
    source: str = ""
    kind: Show = Show.FIGURE

    def as_document(self) -> dict[str, str]:
        return {
            "sign": self.sign.value,
            "quantity": plain(self.quantity),
            "unit": self.unit,
            "label": self.label,
            "source": self.source,
            "kind": self.kind.value,
        }


def start(quantity: Decimal, unit: str, label: str, source: str = "") -> Step:
    return Step(Sign.START, quantity, unit, label, source)


def plus(quantity: Decimal, unit: str, label: str, source: str = "") -> Step:
    return Step(Sign.PLUS, quantity, unit, label, source)


def minus(quantity: Decimal, unit: str, label: str, source: str = "") -> Step:
    return Step(Sign.MINUS, quantity, unit, label, source)


def times(quantity: Decimal, unit: str, label: str, source: str = "") -> Step:
    return Step(Sign.TIMES, quantity, unit, label, source)


def divided(quantity: Decimal, unit: str, label: str, source: str = "") -> Step:
    return Step(Sign.DIVIDED, quantity, unit, label, source)


def equals(quantity: Decimal, unit: str, label: str) -> Step:
    return Step(Sign.EQUALS, quantity, unit, label, "", Show.SUBTOTAL)


def begun(quantity: Decimal, size: Decimal | int) -> Decimal:
    """How many whole sizes the quantity begins: 130 minutes begin 3 hours."""
    whole, rest = divmod(quantity, size)
    return whole + 1 if rest else whole


def plain(quantity: Decimal) -> str:
    """Digits without an exponent, as many as the instrument or the currency has."""
    return format(quantity, "f")


def spoken(quantity: Decimal) -> str:
    """Digits as said in a sentence: 33.75, and 5 rather than 5.00."""
    text = format(quantity, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
