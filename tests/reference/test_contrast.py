"""Known contrast ratios. Source: WCAG 2.2, relative luminance (threshold 0.04045; 0.03928 before May 2021)."""

import pytest

from tests.wcag import channel, contrast

pytestmark = [pytest.mark.reference, pytest.mark.source("WCAG 2.2, relative luminance")]

ON_WHITE = [
    ("#000000", 21.0000), ("#767676", 4.5422), ("#777777", 4.4781), ("#ff0000", 3.9985), ("#00ff00", 1.3722),
    ("#0000ff", 8.5925), ("#ffff00", 1.0738), ("#808080", 3.9494), ("#008000", 5.1374), ("#cc0000", 5.8865),
]  # fmt: skip


@pytest.mark.parametrize(("colour", "ratio"), ON_WHITE)
def test_contrast_on_white(colour, ratio):
    assert contrast(colour, "#ffffff") == pytest.approx(ratio, abs=0.0005)


def test_the_older_threshold_gives_the_same_on_all_grey_levels():
    def older(eight_bit):
        c = eight_bit / 255
        return c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4

    assert [older(level) for level in range(256)] == [channel(level) for level in range(256)]


def test_contrast_does_not_depend_on_order():
    assert contrast("#777777", "#ffffff") == contrast("#ffffff", "#777777")
