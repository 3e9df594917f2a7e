"""Damage: what is charged of an item, before any excess."""

from typing import Any

import pytest

from tests.charges.documents import damaged, due, event, line, priced, reasons

MATRIX = {
    "side panel": {
        "scratch": [{"up_to_mm": "50", "price": "90.00"}, {"up_to_mm": "150", "price": "240.00"}],
        "dent": [{"up_to_mm": None, "price": "180.00"}],
    }
}
WEAR = {"scratch": "25", "chip": "3", "dent": "10"}


def item_due(rate: dict[str, Any] | None = None, **item: Any) -> str | None:
    answer = due(rules={"damage": rate or {}}, events=[event({"part": "side panel", **item})])
    return answer.get("DAMAGE side panel")


def why(rate: dict[str, Any] | None = None, **item: Any) -> list[str]:
    statement = priced(rules={"damage": rate or {}}, events=[event({"part": "side panel", **item})])
    assert statement.lines == ()
    return list(reasons(statement).values())


@pytest.mark.parametrize(
    ("item", "wear"),
    [
        ({"kind": "scratch", "size_mm": "25"}, True),
        ({"kind": "scratch", "size_mm": "26"}, False),
        ({"kind": "chip", "size_mm": "2"}, True),
        ({"kind": "dent", "size_mm": "14"}, False),
        ({"kind": "crack", "size_mm": "1"}, False),
        ({"kind": "scratch", "size_mm": "20", "through_paint": True}, False),
        ({"kind": "scratch", "size_mm": None}, True),
        ({"kind": "scratch"}, False),
        ({"size_mm": "5"}, False),
    ],
)
def test_fair_wear(item: dict[str, Any], wear: bool) -> None:
    assert (item_due({"fair_wear_max_mm": WEAR}, repair="120.00", **item) is None) is wear


def test_only_so_many_chips_on_a_panel_are_wear() -> None:
    chips = [damaged(f"chip {number}", "30.00", kind="chip", size_mm="2", panel="bonnet") for number in range(6)]
    rate = {"fair_wear_max_mm": WEAR, "fair_wear_max_per_panel": {"chip": 4}}
    assert due(rules={"damage": rate}, events=[event(*chips)]) == {"DAMAGE chip 4": "30.00", "DAMAGE chip 5": "30.00"}


def test_pre_existing() -> None:
    assert why(repair="120.00", pre_existing=True) == ["pre_existing"]
    assert why(repair="120.00", known_size_mm="30") == ["pre_existing"]


@pytest.mark.parametrize(("size", "amount"), [("36", None), ("37", "22.70"), ("120", "90.00")])
def test_growth_alone_is_charged(size: str, amount: str | None) -> None:
    assert item_due(repair="120.00", kind="scratch", size_mm=size, known_size_mm="30") == amount


def test_growth_within_fair_wear() -> None:
    rate = {"fair_wear_max_mm": WEAR}
    assert why(rate, repair="120.00", kind="scratch", size_mm="55", known_size_mm="30") == ["fair_wear"]


def test_growth_by_size_class_of_the_matrix() -> None:
    rate = {"pricing": "matrix", "matrix": MATRIX}
    assert item_due(rate, kind="scratch", size_mm="120", known_size_mm="30") == "150.00"
    assert why(rate, kind="scratch", size_mm="45", known_size_mm="30") == ["fair_wear"]


def test_growth_by_length_where_the_old_size_has_no_class() -> None:
    matrix = {"side panel": {"scratch": [{"up_to_mm": None, "price": "240.00"}]}}
    rate = {"pricing": "matrix", "matrix": matrix}
    assert why(rate, kind="scratch", size_mm="120", known_size_mm="30") == ["fair_wear"]
    assert (
        item_due({**rate, "pricing": "estimate"}, repair="120.00", kind="x", size_mm="60", known_size_mm="30")
        == "60.00"
    )


def test_known_marks_are_matched_once_by_part_kind_and_size() -> None:
    marks = [{"part": "side panel", "kind": "scratch", "size_mm": size} for size in ("30", "80")]
    items = [damaged("side panel", "120.00", kind="scratch", size_mm=size) for size in ("84", "33", "31")]
    statement = priced(rules={"damage": {}}, known_marks=marks, events=[event(*items)])
    assert [str(one.amount) for one in statement.lines] == ["120.00"]
    assert [one.reason.value for one in statement.findings] == ["pre_existing", "pre_existing"]


def test_known_marks_of_another_part_do_not_match() -> None:
    marks = [{"part": "roof", "kind": "scratch", "size_mm": "30"}]
    items = [
        damaged("side panel", "120.00", kind="scratch", size_mm="30"),
        damaged("side panel", "50.00", kind="scratch"),
    ]
    assert len(priced(rules={"damage": {}}, known_marks=marks, events=[event(*items)]).lines) == 2


def test_a_known_mark_is_not_matched_without_a_size() -> None:
    marks = [{"part": "side panel", "kind": "scratch", "size_mm": "30"}]
    statement = priced(rules={"damage": {}}, known_marks=marks, events=[event(damaged("side panel", kind="scratch"))])
    assert len(statement.lines) == 1


@pytest.mark.parametrize(
    ("pricing", "prices", "amount"),
    [
        ("estimate", {"estimate": "300.00", "invoice": "250.00"}, "300.00"),
        ("estimate", {"invoice": "250.00"}, "250.00"),
        ("invoice", {"estimate": "300.00", "invoice": "250.00"}, "250.00"),
        ("invoice", {"estimate": "300.00", "invoice": "350.00"}, "300.00"),
        ("invoice", {"estimate": "300.00"}, "300.00"),
        ("matrix", {"kind": "scratch", "size_mm": "50", "repair": "300.00"}, "90.00"),
        ("matrix", {"kind": "scratch", "size_mm": "51"}, "240.00"),
        ("matrix", {"kind": "scratch", "size_mm": "151", "repair": "300.00"}, "300.00"),
        ("matrix", {"kind": "dent"}, "180.00"),
        ("estimate", {"kind": "dent"}, "180.00"),
        ("invoice", {"kind": "dent"}, "180.00"),
        ("estimate", {"kind": "dent", "repair": "300.00", "invoice": "250.00"}, "300.00"),
        ("minimum_repair", {"repair": "200.00", "estimate": "300.00", "kind": "dent"}, "180.00"),
    ],
)
def test_ways_of_pricing(pricing: str, prices: dict[str, str], amount: str) -> None:
    assert item_due({"pricing": pricing, "matrix": MATRIX}, **prices) == amount


def test_a_repair_without_a_price_waits() -> None:
    assert why() == ["provisional"]


def test_the_source_of_a_matrix_price() -> None:
    rules = {"damage": {"pricing": "matrix", "matrix": MATRIX}}
    charge = line(priced(rules=rules, events=[event({"part": "side panel", "kind": "dent"})]), "DAMAGE")
    assert charge.workings[0].source == "rules.damage.matrix.side panel.dent[0].price"


TYRE = {"tread_new_mm": "8.0", "tread_min_mm": "1.6"}


@pytest.mark.parametrize(("tread", "amount"), [("5.0", "85.00"), ("8.0", "160.00"), ("1.6", None), ("1.0", None)])
def test_a_tyre_by_its_tread(tread: str, amount: str | None) -> None:
    assert item_due(repair="160.00", tread_now_mm=tread, **TYRE) == amount


def test_tread_is_worked_out_before_the_excess() -> None:
    assert item_due({"excess": "100.00"}, repair="320.00", tread_now_mm="4.8", **TYRE) == "100.00"
    assert item_due({"excess": "100.00"}, repair="320.00", tread_now_mm="4.8", excluded=True, **TYRE) == "160.00"


@pytest.mark.parametrize("agreed", [True, False])
def test_the_second_tyre_on_an_axle(agreed: bool) -> None:
    charged = item_due({"second_tyre_on_axle": agreed}, repair="160.00", second_on_axle=True)
    assert (charged is not None) is agreed


def test_a_part_nobody_looked_at_at_pickup() -> None:
    assert why(repair="120.00", inspected_at_pickup=False) == ["no_baseline"]


def test_two_marks_on_one_part_are_told_apart() -> None:
    marks = [damaged("door", "90.00", ref="mark 7"), damaged("door", "40.00", ref="mark 8")]
    assert due(rules={"damage": {}}, events=[event(*marks)]) == {"DAMAGE mark 7": "90.00", "DAMAGE mark 8": "40.00"}


def test_without_a_rule_nothing() -> None:
    assert reasons(priced(events=[event(damaged())])) == {"DAMAGE E1": "no_rule"}


def test_wear_is_found_behind_what_is_no_wear() -> None:
    items = [
        damaged("door", "90.00", kind="dent", size_mm="40"),
        damaged("bonnet", "30.00", kind="chip", size_mm="2"),
        damaged("roof", "70.00"),
        damaged("step", "20.00", kind="scratch", size_mm="25"),
    ]
    answer = due(rules={"damage": {"fair_wear_max_mm": WEAR}}, events=[event(*items)])
    assert answer == {"DAMAGE door": "90.00", "DAMAGE roof": "70.00"}
