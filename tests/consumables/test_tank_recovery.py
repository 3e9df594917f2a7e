"""The learned curve against the number of receipts, over a simulated fleet whose curves are known."""

import pytest

import consumables.tank
from consumables.gauge import EIGHTHS, PERCENT, QUARTERS, SIXTEENTHS, GaugeScale
from tests.consumables.fleet_of_tanks import DRAWING, RECEIPTS, picture, recovered, table

SCALES = [QUARTERS, EIGHTHS, SIXTEENTHS, PERCENT]


@pytest.mark.parametrize("scale", SCALES)
def test_from_ten_receipts_on_it_beats_the_straight_line(scale: GaugeScale) -> None:
    found = recovered(scale)
    for count in (10, 20, 40, 80):
        assert found[count].learned < found[count].straight
        assert found[count].better > 0.5


@pytest.mark.parametrize("scale", SCALES)
def test_at_forty_it_is_right_to_two_percent_of_the_tank(scale: GaugeScale) -> None:
    assert recovered(scale)[40].learned <= 2.0


@pytest.mark.parametrize("scale", SCALES)
def test_more_receipts_are_better(scale: GaugeScale) -> None:
    errors = [recovered(scale)[count].learned for count in RECEIPTS]
    assert errors == sorted(errors, reverse=True)


@pytest.mark.parametrize("count", RECEIPTS)
def test_what_it_says_of_itself_meets_its_errors(count: int) -> None:
    found = recovered(EIGHTHS)[count]
    assert found.said == pytest.approx(found.learned, rel=0.25)


def test_another_fleet_on_eighths() -> None:
    found = recovered(EIGHTHS, 20, 7)
    assert found[10].learned < found[10].straight
    assert found[40].learned <= 2.0


def test_the_package_shows_what_is_measured() -> None:
    assert table() in (consumables.tank.__doc__ or "")
    assert DRAWING.read_text() == f"{picture()}\n"
