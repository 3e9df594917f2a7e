"""What a spreadsheet would compute leaves as text, and comes back as it was."""

import pytest

from shared.spreadsheet import as_text, without_guard

RUN = ["=1+1", "+44 1632", "-1", "@SUM(A1)", "\tx", "\r=1", "  =1", "\n=1"]


@pytest.mark.parametrize("cell", RUN)
def test_what_a_spreadsheet_would_run_goes_out_as_text(cell: str) -> None:
    assert as_text(cell) == f"'{cell}"


@pytest.mark.parametrize("cell", ["LRK 407", "", "a=b", "1-2", "'tis so"])
def test_plain_cells_go_out_as_they_are(cell: str) -> None:
    assert as_text(cell) == cell


@pytest.mark.parametrize("cell", [*RUN, "LRK 407", "", "'tis so"])
def test_a_file_that_comes_back_says_what_it_said(cell: str) -> None:
    assert without_guard(as_text(cell)) == cell
