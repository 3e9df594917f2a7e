"""Graduations of a stick where the tank's curve has them."""

from consumables.dipstick import curve_quarters, quarters
from tests.consumables.made import BELLY, D


def test_half_on_the_gauge_is_fifty_three_litres() -> None:
    major, fine = curve_quarters(BELLY.litres)
    assert [(tick.label, tick.at) for tick in major][2] == ("½", D(53))
    assert fine == (D(16), D(42), D("63"), D("81.5"))


def test_a_straight_line_has_the_quarters_of_the_tank() -> None:
    assert curve_quarters((D(0), D(90)), between=3) == quarters(D(90), between=3)
