"""Both readings of an instrument in one row, and what of their difference can be said."""

from decimal import Decimal

import pytest

from handover.record.content import Counted, Reading, RecordContent, Scale
from handover.record.dipstick_svg import BRACKEN, GORSE, LOCH, lying_stick
from handover.record.document import content_from
from handover.record.levels import level_rows
from tests.record import sample


def a_reading(value: str | None, *, half: str = "1.5", counts: Counted | None = None, **more) -> Reading:
    plain = {
        "code": "diesel", "name": "Diesel", "state": "read" if value else "not_read",
        "unit": "L", "instrument": "gauge",
        "value": Decimal(value) if value else None, "half_width": Decimal(half), "typed": "", "doubt": "",
        "scale": Scale(Decimal(0), Decimal(90), 8), "in_bulk": False, "by": "Isla", "at": None, "counts": counts,
        "resolution": None, "is_so": False, "hold": None,
    }  # fmt: skip
    return Reading(**(plain | more))


@pytest.fixture
def content() -> RecordContent:
    return content_from(sample.return_record())


def test_each_instrument_has_one_row(content):
    assert [row.name for row in level_rows(content)] == [level[1] for level in sample.LEVELS]


def test_a_row_says_both_values_and_what_counts(content):
    diesel = level_rows(content)[0]
    assert (diesel.left, diesel.back, diesel.result) == ("82.0 L", "47.5 L", "31.5 L short")
    assert diesel.doubt == "curve, ± 1.5 L"
    assert diesel.strong


def test_level_and_empty_are_said(content):
    assert [row.result for row in level_rows(content)[2:]] == ["level", "level", "level", "empty"]


def with_readings(out: sample.Document | None, back: sample.Document | None) -> RecordContent:
    document = sample.return_record()
    for walk, reading in zip(document["walk_rounds"], (out, back), strict=True):
        walk["stations"][0]["readings"] = [reading] if reading else []
    return content_from(document)


def diesel(at: str, value: str | None, **more) -> sample.Document:
    return sample.reading(at, "diesel", "Diesel", value, "L", "1.5", "gauge", scale=sample.scale("90", 8), **more)


@pytest.mark.parametrize(
    ("out", "back", "counts", "said"),
    [
        ("82.0", "79.0", None, "level"),
        ("82.0", "78.9", None, "lower"),
        ("40.0", "60.0", None, "higher"),
        ("82.0", "40.0", sample.counts("level"), "no charge"),
        ("82.0", None, None, "no comparison"),
        (None, "82.0", None, "no comparison"),
    ],
)
def test_without_an_amount_only_what_two_doubts_can_tell(out, back, counts, said):
    content = with_readings(diesel(sample.OUT, out), diesel(sample.BACK, back, counts=counts))
    assert level_rows(content)[0].result == said


def test_not_read_is_not_zero():
    row = level_rows(with_readings(diesel(sample.OUT, None), diesel(sample.BACK, "0")))[0]
    assert (row.left, row.back) == ("not read", "0 L")


def test_an_instrument_of_one_walk_alone_stands_too():
    rows = level_rows(with_readings(None, diesel(sample.BACK, "47.5")))
    assert [(row.left, row.back) for row in rows] == [("not asked", "47.5 L")]


def test_what_is_not_fitted_has_no_row():
    absent = diesel(sample.OUT, None, state="not_applicable")
    assert level_rows(with_readings(absent, None)) == []


def test_the_odometer_stands_at_the_head_only():
    odometer = sample.reading(sample.OUT, "odometer", "Odometer", "41206", "mi", "0", "display", scale=None)
    assert level_rows(with_readings(odometer, None)) == []


def test_two_instruments_are_both_named():
    content = with_readings(diesel(sample.OUT, "82.0"), diesel(sample.BACK, "47.5") | {"instrument": "curve"})
    assert level_rows(content)[0].doubt == "gauge, ± 1.5 L; then curve, ± 1.5 L"


def test_what_counts_is_solid_and_the_doubt_is_cut_off_both_ends():
    stick = lying_stick(a_reading("82.0"), a_reading("47.5"))
    assert f'<rect x="85.3" y="11" width="42.0" height="18" fill="{GORSE}"' in stick
    assert '<rect x="83.3" y="11" width="2.0"' in stick
    assert '<rect x="127.3" y="11" width="2.0"' in stick


def test_pickup_points_down_from_above_and_return_up_from_below():
    stick = lying_stick(a_reading("82.0"), a_reading("47.5"))
    assert f'<path d="M129.3 14 l-6 -9 h12 Z" fill="{LOCH}"/>' in stick
    assert f'<path d="M83.3 26 l-6 9 h12 Z" fill="{BRACKEN}"/>' in stick


def test_where_the_doubts_meet_nothing_is_solid():
    assert GORSE not in lying_stick(a_reading("15"), a_reading("14"))


def test_an_exact_instrument_has_no_fringe():
    stick = lying_stick(a_reading("82", half="0"), a_reading("40", half="0"))
    assert GORSE in stick
    assert '#fff" stroke="#1a1724" stroke-width=".8"' not in stick


def test_a_reading_that_was_not_made_has_no_flag():
    stick = lying_stick(a_reading("82.0"), a_reading(None))
    assert LOCH in stick
    assert BRACKEN not in stick


def test_a_value_beyond_the_scale_stays_on_the_stick():
    assert "M140.0 14" in lying_stick(a_reading("120"), None)
    assert "M20.0 14" in lying_stick(a_reading("-4"), None)


@pytest.mark.parametrize("scale", [None, Scale(Decimal(5), Decimal(5), 4)])
def test_without_a_scale_there_is_no_stick(scale):
    assert lying_stick(a_reading("5", scale=scale), None) == ""


def test_no_stick_has_more_graduations_than_can_be_seen():
    many = lying_stick(a_reading("5", scale=Scale(Decimal(0), Decimal(90), 10**9)), None)
    assert many.count("v5") == 25
