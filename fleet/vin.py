"""Vehicle identification numbers: ISO 3779 form, and the check digit of 49 CFR 565.15 where the market uses it."""

import re

VALUES = {**{str(n): n for n in range(10)}, **dict(zip("ABCDEFGH", range(1, 9), strict=True))}
VALUES |= {**dict(zip("JKLMN", range(1, 6), strict=True)), "P": 7, "R": 9}
VALUES |= dict(zip("STUVWXYZ", range(2, 10), strict=True))
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
FORM = re.compile(r"[A-HJ-NPR-Z0-9]{17}")


class BadVin(ValueError):
    """Says in one sentence what cannot be and what can."""


def check_digit(vin: str) -> str:
    """The digit that belongs in place 9 of a 17-character VIN: 0 to 9 or X. Source: 49 CFR 565.15(c)."""
    remainder = sum(VALUES[letter] * weight for letter, weight in zip(vin, WEIGHTS, strict=True)) % 11
    return "X" if remainder == 10 else str(remainder)


def checked_vin(typed: str, *, with_check_digit: bool) -> str:
    """The VIN in capitals without spaces. Raises BadVin."""
    vin = re.sub(r"[\s-]", "", typed).upper()
    if not FORM.fullmatch(vin):
        likely = vin.translate(str.maketrans("IOQ", "100"))
        hint = f" Did you mean {likely}?" if likely != vin and FORM.fullmatch(likely) else ""
        raise BadVin(f"A VIN has 17 letters and digits, never I, O or Q; this has {len(vin)}.{hint}")
    if with_check_digit and vin[8] != check_digit(vin):
        raise BadVin(f"The check digit, place 9, is {vin[8]} and by the rest of the VIN must be {check_digit(vin)}.")
    return vin
