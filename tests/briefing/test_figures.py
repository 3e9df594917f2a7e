"""Figures that a translation lost, added or turned."""

import pytest

from handover.briefing.figures import figures_apart


@pytest.mark.parametrize(
    ("english", "translated"),
    [
        ("2.85 m high", "2,85 m hoch"),
        ("under 3\u202f500 kg", "unter 3.500 kg"),
        ("under 3\u202f500 kg", "أقل من 3 500 كغ"),
        ("Handbook, p. 14.", "Manuel, p. 14."),
        ("ring 999 or 112", "llame al 112 o 999"),
        ("No figures here.", "Keine Zahlen hier."),
    ],
)
def test_the_same_figures_in_other_marks(english, translated):
    assert figures_apart(english, translated) == ([], [])


@pytest.mark.parametrize(
    ("english", "translated", "apart"),
    [
        ("2.85 m high", "2,58 m hoch", (["285"], ["258"])),
        ("4 belts, 4 people", "4 Gurte", (["4"], [])),
        ("Handbook", "Handbuch, S. 14", ([], ["14"])),
    ],
)
def test_what_differs_is_named(english, translated, apart):
    assert figures_apart(english, translated) == apart
