"""What the tests of consumables are made of: Decimals, quantities, fills along a known curve."""

from decimal import Decimal

from consumables.tank import Fill, TankCurve

D = Decimal

# Fuller than it looks in the lower half: a tank that widens below.
BELLY = TankCurve(tuple(map(Decimal, ("0", "16", "30", "42", "53", "63", "72.5", "81.5", "90"))))


def filled(key: str, before: str, curve: TankCurve = BELLY, *, over: str = "0") -> Fill:
    """Filled to the click from a part of full, the receipt `over` litres more than the curve has."""
    litres = curve.capacity - curve.litres_at(D(before)) + D(over)
    return Fill(key, D(before), D(1), litres, to_click=True)


def many(count: int, curve: TankCurve = BELLY) -> list[Fill]:
    """Fills from all over the gauge, each receipt as the curve has it."""
    return [filled(f"r{number}", f"{(number * 37 % 90 + 5) / 100:.2f}", curve) for number in range(count)]


__all__ = ["BELLY", "D", "filled", "many"]
