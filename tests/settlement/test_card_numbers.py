"""Nothing that looks like a card number is kept. The numbers are made up; their check digits are right."""

import pytest

from handover.settlement.card_numbers import holds_card_number, is_card_number


@pytest.mark.parametrize(
    "text",
    [
        "4000001234567899",
        "4000 0012 3456 7899",
        "4000-0012-3456-7899",
        "4000.0012.3456.7899",
        "card 4000 0012 3456 7899 exp 11/29",
        "2 4000 0012 3456 7899",
        "AUTH4000001234567899X",
        "4000\u00a00012\u00a03456\u00a07899",
        "٤٠٠٠٠٠١٢٣٤٥٦٧٨٩٩",
        "374500000000007",
    ],
)
def test_found_however_it_is_written(text: str) -> None:
    assert holds_card_number(text)


@pytest.mark.parametrize(
    "text", ["", "AUTH 88120", "4000001234567890", "00000000000", "000000000000", "last four 7899", "12 345 678 901"]
)
def test_a_reference_is_none(text: str) -> None:
    assert not holds_card_number(text)


@pytest.mark.parametrize(("length", "found"), [(11, False), (12, True), (19, True), (20, False)])
def test_twelve_to_nineteen_digits(length: int, found: bool) -> None:
    body = "4" + "0" * (length - 2)
    luhn = next(body + str(digit) for digit in range(10) if _sums(body + str(digit)))
    assert is_card_number(luhn) is found


def _sums(digits: str) -> bool:
    """The rule said another way: every second digit from the right doubled, nines cast out."""
    total = 0
    for place, digit in enumerate(map(int, digits[::-1])):
        total += digit if place % 2 == 0 else sum(divmod(digit * 2, 10))
    return total % 10 == 0
