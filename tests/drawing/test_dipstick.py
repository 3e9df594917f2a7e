from dataclasses import replace
from decimal import Decimal

import pytest

from consumables.dipstick import DipInput, Level, band, even_ticks, lying_svg, meets, print_svg, quarters, upright_svg
from consumables.dipstick.reading import fringes
from tests.drawing.conftest import by_class, numbers, read

MAJOR, MINOR = quarters(Decimal(90), between=3)
LEFT, CAME = Level(Decimal("82.0"), Decimal("1.5"), "82.0"), Level(Decimal("47.5"), Decimal("1.5"), "47.5")
DIESEL = DipInput("diesel", Decimal(90), "L", "Diesel: left with 82.0", MAJOR, MINOR, pickup=LEFT, back=CAME)
KG_MAJOR, KG_MINOR = even_ticks(Decimal(6), "kg", major=Decimal(1), minor=Decimal("0.5"), label_every=2)
WEIGHED = {"moves": "pickup", "input_id": "r", "offset": Decimal("5.9")}
REAR = DipInput("rear", Decimal(6), "kg", "Rear cylinder", KG_MAJOR, KG_MINOR, ghost=Decimal("3.1"), **WEIGHED)


def box(part):
    return [float(part.get(name)) for name in ("x", "y", "width", "height")]


def test_the_band_is_what_counts_between_the_fringes():
    assert band(DIESEL) == (Decimal("49.0"), Decimal("80.5"))
    assert fringes(DIESEL) == ((Decimal("47.5"), Decimal("49.0")), (Decimal("80.5"), Decimal("82.0")))


@pytest.mark.parametrize(("back", "is_met"), [("79.0", True), ("78.9", False), ("85.0", True), ("85.1", False)])
def test_two_readings_meet_within_both_half_widths(back, is_met):
    assert meets(LEFT, Level(Decimal(back), Decimal("1.5"), back)) is is_met


def test_readings_that_meet_have_one_fringe_over_both_and_no_band():
    level = replace(DIESEL, back=Level(Decimal("81.0"), Decimal("1.5"), "81.0"))
    assert band(level) is None
    assert fringes(level) == ((Decimal("79.5"), Decimal("83.5")),)
    assert by_class(upright_svg(level), "band") == []


@pytest.mark.parametrize(("counts_when", "counts"), [("less", None), ("more", (Decimal("21.5"), Decimal("58.5")))])
def test_more_than_at_pickup_counts_only_where_more_is_charged(counts_when, counts):
    less, more = (Level(Decimal(value), Decimal("1.5"), str(value)) for value in (20, 60))
    assert band(replace(DIESEL, pickup=less, back=more, counts_when=counts_when)) == counts


def test_upright_band_and_fringes_lie_at_their_litres():
    svg = upright_svg(DIESEL, height=366)
    assert box(by_class(svg, "band")[0]) == pytest.approx([85.3, 85.6, 41.4, 98.0], abs=0.1)
    assert sorted(box(part)[1] for part in by_class(svg, "fringe")) == pytest.approx([80.9, 183.6], abs=0.1)


def test_upright_flags_point_from_their_sides_at_their_values():
    flags = {part.get("data-part"): part for part in by_class(upright_svg(DIESEL, height=366), "flag-peg")}
    assert numbers(flags["out"].get("transform")) == pytest.approx([0, 80.9], abs=0.1)
    assert numbers(flags["back"].get("transform")) == pytest.approx([0, 188.2], abs=0.1)
    assert [numbers(flags[side][0].get("d"))[3] for side in ("out", "back")] == [90, 122]
    assert [flags[side][1].text for side in ("out", "back")] == ["82.0", "47.5"]


def test_the_wet_part_reaches_the_latest_reading_in_its_colour():
    both, first = upright_svg(DIESEL, height=366), upright_svg(replace(DIESEL, back=None), height=366)
    assert by_class(both, "wet")[0].get("class") == "wet came"
    assert by_class(first, "wet")[0].get("class") == "wet"
    assert numbers(by_class(both, "wet")[0].get("d"))[1] == pytest.approx(188.2, abs=0.1)


def test_a_single_reading_has_its_doubt_round_it():
    front = replace(REAR, pickup=Level(Decimal("5.8"), Decimal("0.1"), "5.8"))
    assert box(by_class(upright_svg(front), "fringe")[0])[1::2] == pytest.approx([58.9, 5.9], abs=0.1)


def test_an_unread_stick_is_empty_with_a_dotted_ghost():
    svg = upright_svg(REAR)
    assert numbers(by_class(svg, "ghost")[0].get("d"))[1] == pytest.approx(141.1, abs=0.1)
    assert by_class(svg, "fringe") == []
    assert all("unset" in part.get("class") for part in [*by_class(svg, "wet"), *by_class(svg, "flag-peg")])


def test_the_slider_says_what_it_sets_and_where():
    tree = read(upright_svg(REAR))
    assert [tree.get(name) for name in ("role", "data-dip", "data-input")] == ["slider", "pickup", "r"]
    assert [tree.get(f"data-{name}") for name in ("offset", "top", "bottom")] == ["5.9", "56", "232"]
    assert (tree.get("aria-valuetext"), tree.get("aria-valuemax")) == ("not read yet", "6")


def test_a_set_slider_speaks_its_value_with_unit():
    tree = read(upright_svg(replace(DIESEL, moves="back")))
    assert (tree.get("aria-valuetext"), tree.get("aria-valuenow")) == ("47.5 L", "47.5")


def test_a_stick_that_is_not_set_here_is_a_picture():
    assert read(upright_svg(DIESEL)).get("role") == read(lying_svg(DIESEL)).get("role") == "img"


def test_a_label_behind_the_return_flag_is_left_out():
    assert [text.text for text in by_class(upright_svg(DIESEL, height=366), "no")] == ["E", "¼", "¾", "F"]


def test_graduations_on_the_band_take_its_ink():
    on_band = by_class(upright_svg(DIESEL, height=366), "on")
    assert len(on_band) == 6


def test_a_long_flag_widens_the_drawing():
    svg = upright_svg(replace(DIESEL, pickup=replace(LEFT, flag="1 234.5 L")))
    assert numbers(by_class(svg, "flag-peg")[0][0].get("d"))[0] == pytest.approx(4, abs=0.1)
    assert float(read(svg).get("width")) == pytest.approx(19 + 9 * 10.2 + 35 + 114, abs=0.1)


def test_lying_stick_lies_at_its_litres():
    svg = lying_svg(DIESEL, width=296, height=120)
    assert box(by_class(svg, "band")[0]) == pytest.approx([162.5, 43.3, 82.6, 33.4], abs=0.2)


@pytest.mark.parametrize("value", ["0", "90"])
def test_a_lying_flag_stays_in_the_drawing_while_its_tip_stays_at_the_value(value):
    svg = lying_svg(
        replace(DIESEL, pickup=Level(Decimal(value), Decimal("1.5"), f"{value}.00 L"), back=None), width=296
    )
    across = numbers(by_class(svg, "out")[0].get("d"))
    assert 0 <= across[0] < across[2] <= 296


def test_hatching_is_named_after_its_stick():
    one, other = lying_svg(DIESEL), upright_svg(REAR)
    ids = [part.get("id") for svg in (one, other) for part in read(svg).iter() if part.get("id")]
    assert ids == ["hatch-diesel", "hatch-rear"]
    assert 'fill="url(#hatch-diesel)"' in one


def test_paper_draws_band_hatch_and_flags_with_plain_values():
    svg = print_svg(DIESEL)
    assert not any(word in svg for word in ("class=", "var(", "pattern", " style="))
    gorse = next(part for part in read(svg).iter() if part.get("fill") == "#f6c62d")
    assert box(gorse) == pytest.approx([85.3, 11, 42.0, 18], abs=0.1)


def test_paper_without_difference_has_no_gorse():
    assert "#f6c62d" not in print_svg(replace(DIESEL, back=replace(LEFT, flag="82.0")))


@pytest.mark.parametrize("draw", [upright_svg, lying_svg, print_svg])
def test_sticks_are_well_formed_escaped_and_without_style(draw):
    svg = draw(replace(DIESEL, label='5 < 6 & "more"'))
    assert read(svg).get("aria-label") == '5 < 6 & "more"'
    assert " style=" not in svg


def test_a_scale_may_begin_above_zero():
    battery = DipInput(
        "b", Decimal(13), "V", "Battery", low=Decimal(12), pickup=Level(Decimal("12.5"), Decimal("0.05"), "12.50")
    )
    assert numbers(by_class(upright_svg(battery), "wet")[0].get("d"))[1] == pytest.approx(144)


def test_a_scale_without_length_cannot_be_drawn():
    with pytest.raises(ValueError, match="full must be above low"):
        upright_svg(replace(DIESEL, full=Decimal(0)))


def test_doubt_beyond_the_scale_is_cut():
    svg = upright_svg(replace(REAR, pickup=Level(Decimal(6), Decimal("0.5"), "6.0")))
    assert box(by_class(svg, "fringe")[0])[1] == pytest.approx(56)


def test_quarters_are_named_as_on_the_gauge():
    major, minor = quarters(Decimal(90))
    assert [tick.label for tick in major] == ["E", "¼", "½", "¾", "F"]
    assert [tick.at for tick in major] == [Decimal(0), Decimal("22.5"), Decimal(45), Decimal("67.5"), Decimal(90)]
    assert minor == (Decimal("11.25"), Decimal("33.75"), Decimal("56.25"), Decimal("78.75"))


def test_even_ticks_carry_the_unit_at_full():
    major, minor = even_ticks(Decimal(20), "L", major=Decimal(5), minor=Decimal("2.5"))
    assert [tick.label for tick in major] == ["0", "5", "10", "15", "20 L"]
    assert minor == (Decimal("2.5"), Decimal("7.5"), Decimal("12.5"), Decimal("17.5"))


def test_percent_and_sparse_labels():
    major, _ = even_ticks(Decimal(100), "%", major=Decimal(25), minor=Decimal(25), label_every=2)
    assert [tick.label for tick in major] == ["0", "", "50", "", "100 %"]
