"""Fields of the page become cells; what was typed stays, whatever is wrong with it."""

from handover.ratecard.posted import posted_cells


def test_a_field_is_the_cell_of_its_name() -> None:
    assert posted_cells({"cell:fuel.price_per_litre": " 1.62 ", "other": "x"}) == ({"fuel.price_per_litre": "1.62"}, [])


def test_an_empty_field_is_no_cell() -> None:
    assert posted_cells({"cell:fuel.service_fee": " "}) == ({}, [])


def test_a_blank_row_takes_the_names_typed() -> None:
    posted = {
        "key:damage.matrix.+1": "bumper", "key:damage.matrix.+1.+1": "scuff", "key:damage.matrix.+1.+1.+1": "150",
        "cell:damage.matrix.+1.+1.+1": "180.00",
    }  # fmt: skip
    assert posted_cells(posted) == ({"damage.matrix.bumper.scuff.150": "180.00"}, [])


def test_no_limit_is_beyond_all() -> None:
    assert posted_cells({"cell:distance.tiers.+1": "0.25"})[0] == {"distance.tiers.beyond": "0.25"}


def test_a_new_block_and_a_row_inside_it() -> None:
    posted = {
        "key:kits.+1": "burns", "cell:kits.+1.mode": "per_item",
        "key:kits.+1.items.+2": "gel", "cell:kits.+1.items.+2": "6.00",
    }  # fmt: skip
    assert posted_cells(posted)[0] == {"kits.burns.mode": "per_item", "kits.burns.items.gel": "6.00"}


def test_a_value_that_nobody_named_is_kept_and_told() -> None:
    posted = {"key:damage.matrix.+1": "bumper", "cell:damage.matrix.+1.+1.+1": "180.00"}
    kept, (problem,) = posted_cells(posted)
    assert kept == {"damage.matrix.+1.+1.+1": "180.00"}
    assert (problem.path, problem.sentence) == (
        "damage.matrix.+1.+1.+1", "Say what this is for, at the beginning of the row.",
    )  # fmt: skip


def test_two_rows_of_one_name_are_told_and_the_first_is_kept() -> None:
    posted = {"cell:equipment.prices.straps": "9", "key:equipment.prices.+1": "straps", "cell:equipment.prices.+1": "8"}
    kept, (problem,) = posted_cells(posted)
    assert (kept, problem.path) == ({"equipment.prices.straps": "9"}, "equipment.prices.straps")


def test_a_name_with_a_point_is_one_name() -> None:
    posted = {"key:kits.a.items.+1": "gauze 2.5", "cell:kits.a.items.+1": "1"}
    assert posted_cells(posted)[0] == {"kits.a.items.gauze 2\\.5": "1"}


def test_lines_end_as_pricing_reads_them() -> None:
    assert posted_cells({"cell:damage.excluded": "roof\r\nglass"})[0] == {"damage.excluded": "roof\nglass"}
