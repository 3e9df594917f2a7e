"""Unit factors against their definitions (international yard and pound agreement of 1959; the litre and the bar of SI).

The inch is 2.54 cm, the pound 0.45359237 kg and standard gravity 9.80665 m/s2 by definition; the US gallon is
231 cubic inches, the imperial one 4.54609 L.
"""

from decimal import Decimal
from fractions import Fraction

import pytest

from shared.units import from_canonical, to_canonical

pytestmark = [pytest.mark.reference, pytest.mark.source("International yard and pound agreement 1959; SI")]


@pytest.mark.parametrize(
    ("unit", "canonical"),
    [
        ("US gal", "3.785411784"),
        ("imp gal", "4.54609"),
        ("mi", "1.609344"),
        ("lb", "0.45359237"),
        ("in", "25.4"),
        ("kPa", "0.01"),
        ("g", "0.001"),
        ("mL", "0.001"),
        ("mV", "0.001"),
        ("cm", "10"),
        ("m", "1000"),
        ("L", "1"),
        ("kg", "1"),
        ("km", "1"),
        ("V", "1"),
        ("Ah", "1"),
        ("%", "1"),
        ("mm", "1"),
        ("bar", "1"),
    ],
)
def test_factor_is_exact(unit: str, canonical: str) -> None:
    assert to_canonical(Decimal(1), unit) == Decimal(canonical)
    assert from_canonical(Decimal(canonical), unit) == 1


def test_us_gallon_is_231_cubic_inches() -> None:
    assert to_canonical(Decimal(1), "US gal") == 231 * Decimal("2.54") ** 3 / 1000


def test_psi_is_a_pound_force_on_a_square_inch() -> None:
    pascal = Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2
    assert float(to_canonical(Decimal(1), "psi")) == pytest.approx(float(pascal / 100_000), rel=1e-15)
    assert float(from_canonical(Decimal(1), "psi")) == pytest.approx(14.503773773, rel=1e-9)


@pytest.mark.parametrize(
    ("psi", "bar"), [("32", "2.206"), ("36", "2.482"), ("55", "3.792"), ("80", "5.516"), ("79.77", "5.500")]
)
def test_tyre_pressures(psi: str, bar: str) -> None:
    assert to_canonical(Decimal(psi), "psi") == pytest.approx(Decimal(bar), abs=Decimal("0.001"))
