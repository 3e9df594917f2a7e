"""Card numbers by their check digit (ISO/IEC 7812-1, Luhn). Pure: what looks like one is never kept."""

import re
from collections.abc import Iterator

SHORTEST, LONGEST = 12, 19
# Digits in groups: a card number is written 4000 1234 5678 9010, with hyphens, with points, or in one.
GROUPS = re.compile(r"\d+(?:[\s.\-/\u2010-\u2015]{1,3}\d+)*")


def holds_card_number(text: str) -> bool:
    """Whether 12 to 19 digits in the text, in one or in neighbouring groups, have a right check digit."""
    return any(is_card_number(digits) for run in GROUPS.findall(text) for digits in _joined(re.findall(r"\d+", run)))


def _joined(groups: list[str]) -> Iterator[str]:
    """Every row of neighbouring groups whose digits together could be a card number."""
    for first in range(len(groups)):
        for last in range(first, len(groups)):
            digits = "".join(groups[first : last + 1])
            if len(digits) > LONGEST:
                break
            if len(digits) >= SHORTEST:
                yield digits


def is_card_number(digits: str) -> bool:
    """Twelve to nineteen digits whose Luhn sum is a multiple of ten, and that are not all nought."""
    if not SHORTEST <= len(digits) <= LONGEST or not any(int(digit) for digit in digits):
        return False
    doubled = [int(digit) * (2 if place % 2 else 1) for place, digit in enumerate(reversed(digits))]
    return sum(value // 10 + value % 10 for value in doubled) % 10 == 0
