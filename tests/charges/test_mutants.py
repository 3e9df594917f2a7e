"""What is read out of a run of the mutants."""

from tests.charges.mutants import score

RESULTS = """
    handover.charges.tax.x_tax_of__mutmut_1: killed
    handover.charges.tax.x_tax_of__mutmut_2: survived
    handover.charges.tax.x_tax_of__mutmut_3: timeout
    handover.charges.tax.x_tax_of__mutmut_4: not checked
    handover.charges.cover.x_cover__mutmut_1: no tests
    handover.charges.line.x_line__mutmut_1: not checked
""".strip().splitlines()


def test_what_was_not_tried_does_not_count() -> None:
    assert list(score(RESULTS)) == [
        "handover.charges.cover 0 of 1",
        "handover.charges.tax 2 of 3",
        "handover.charges.tax.x_tax_of__mutmut_2: survived",
        "handover.charges.cover.x_cover__mutmut_1: no tests",
        "killed 2 of 4, 50.0%",
    ]
