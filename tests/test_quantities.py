from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.quantities import Unreadable, format_quantity, parse_quantity

TANK = Decimal(70)


def volume(text: str, *, unit: str = "L", full: Decimal | None = TANK) -> Decimal:
    return parse_quantity(text, dimension="volume", default_unit=unit, full=full)


def odometer(text: str, *, unit: str = "km") -> Decimal:
    return parse_quantity(text, dimension="distance", default_unit=unit)


def refusal(text: str, dimension: str = "volume", unit: str = "L", full: Decimal | None = None) -> str:
    with pytest.raises(Unreadable) as refused:
        parse_quantity(text, dimension=dimension, default_unit=unit, full=full)
    return str(refused.value)


@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("47.5", "47.5"),
        ("47,5", "47.5"),
        (" 47.5 L ", "47.5"),
        ("47.5l", "47.5"),
        ("47.5 Litres", "47.5"),
        ("+47.5", "47.5"),
        ("0", "0"),
        ("-0", "0"),
        (".5", "0.5"),
        (",5", "0.5"),
        ("0,125", "0.125"),
        ("0.125", "0.125"),
        ("17.905", "17.905"),
        ("1 234,5", "1234.5"),
        ("1,234.5", "1234.5"),
        ("1.234,5", "1234.5"),
        ("1,234,567", "1234567"),
        ("1’234.5", "1234.5"),
        ("350 mL", "0.350"),
        ("12 US gal", "45.424941408"),
        ("12 gal (US)", "45.424941408"),
        ("12 U.S. gallons", "45.424941408"),
        ("10 imp gal", "45.4609"),
        ("10 UK gallons", "45.4609"),
        ("４７．５", "47.5"),
        ("٤٧٫٥", "47.5"),
        ("47.5\N{NARROW NO-BREAK SPACE}L", "47.5"),
    ],
)
def test_volume_as_people_write_it(text: str, litres: str) -> None:
    assert volume(text) == Decimal(litres)


@pytest.mark.parametrize(
    ("text", "litres"),
    [("5/8", "43.75"), ("0/8", "0"), ("8/8", "70"), (" 1 / 2 ", "35"), ("½", "35"), ("⅝", "43.75"), ("50 %", "35")],
)
def test_part_of_a_full_tank(text: str, litres: str) -> None:
    assert volume(text) == Decimal(litres)


@pytest.mark.parametrize(
    ("text", "percent"), [("62", 62), ("62 %", 62), ("62 percent", 62), ("2/3", "66.66666666666666666666666667")]
)
def test_percentage(text: str, percent: str) -> None:
    assert parse_quantity(text, dimension="percent", default_unit="%") == Decimal(percent)


@pytest.mark.parametrize(
    ("text", "km"),
    [
        ("41206", "41206"),
        ("41 206", "41206"),
        ("41,206", "41206"),
        ("41'206 km", "41206"),
        ("41,206 mi", "66314.629"),
        ("41206.3", "41206.3"),
        ("1.041.206", "1041206"),
    ],
)
def test_odometer(text: str, km: str) -> None:
    assert odometer(text) == pytest.approx(Decimal(km), abs=Decimal("0.001"))


@pytest.mark.parametrize(
    ("text", "dimension", "unit", "value"),
    [
        ("17.4 lb", "mass", "kg", "7.892507238"),
        ("7900 g", "mass", "kg", "7.900"),
        ("12700 mV", "voltage", "V", "12.700"),
        ("95 amp hours", "charge", "Ah", "95"),
        ("0.45 cm", "length", "mm", "4.50"),
        ("380 kPa", "pressure", "bar", "3.80"),
    ],
)
def test_other_dimensions(text: str, dimension: str, unit: str, value: str) -> None:
    assert parse_quantity(text, dimension=dimension, default_unit=unit) == Decimal(value)


def test_unit_of_the_branch_is_meant_where_none_is_typed() -> None:
    assert odometer("100", unit="mi") == Decimal("160.9344")
    assert volume("10", unit="US gal") == Decimal("37.85411784")


@pytest.mark.parametrize("text", ["12 gal", "12 gallons", "12gal", "12 GALLON", "12 gal."])
def test_gallon_of_no_country_is_asked_about(text: str) -> None:
    assert refusal(text) == ("A gallon is 3.785 L in the US and 4.546 L imperial. Write US gal or imp gal.")


@pytest.mark.parametrize(
    ("text", "dimension", "unit", "sentence"),
    [
        (
            "12 kg",
            "volume",
            "L",
            "12 kg cannot be a volume: kg is a mass; known are L, mL, US gal and imp gal. "
            "A volume is written like 47.5 L.",
        ),
        (
            "12 gal",
            "mass",
            "kg",
            "12 gal has no unit known here; known are kg, g and lb. A mass is written like 7.9 kg.",
        ),
        (
            "50 %",
            "volume",
            "L",
            "50 % cannot be a volume: % is a percentage; known are L, mL, US gal and imp gal. "
            "A volume is written like 47.5 L.",
        ),
        (
            "3 furlongs",
            "charge",
            "Ah",
            "3 furlongs has no unit known here; known is Ah. A charge is written like 95 Ah.",
        ),
        ("", "volume", "L", "Nothing is written here. A volume is written like 47.5 L."),
        ("-3", "volume", "L", "-3 is below zero: nothing can be less than empty. A volume is written like 47.5 L."),
        (
            "47,500",
            "volume",
            "L",
            "47,500 can be 47500 or 47.500: write 47500 or 47.5000. A volume is written like 47.5 L.",
        ),
        (
            "41.206",
            "distance",
            "km",
            "41.206 can be 41206 or 41.206: write 41206 or 41.2060. A distance is written like 41206 km.",
        ),
        (
            "99999999 km",
            "distance",
            "km",
            "99999999 km is more than any instrument shows. A distance is written like 41206 km.",
        ),
    ],
)
def test_what_cannot_be_is_told_with_what_can(text: str, dimension: str, unit: str, sentence: str) -> None:
    assert refusal(text, dimension, unit) == sentence


@pytest.mark.parametrize(
    "text",
    [
        "full",
        "NaN",
        "inf",
        "Infinity",
        "-",
        ".",
        "5.",
        "1,23,456",
        "1 2",
        "12 34",
        "1,234,5",
        "1.2.3",
        "4,,5",
        "'5",
        "L",
    ],
)
def test_no_figure(text: str) -> None:
    assert refusal(text) == f"{text} is no figure. A volume is written like 47.5 L."


@pytest.mark.parametrize("text", ["1e5", "0x1F", "12a", "1**9"])
def test_no_expression_is_worked_out(text: str) -> None:
    assert "has no unit known here" in refusal(text)


def test_written_decimals_that_were_asked_for_are_taken() -> None:
    assert volume("47.5000") == Decimal("47.5")


@pytest.mark.parametrize("text", ["5/0", "5/", "/8", "5/8 L", "1 1/2", "5/8/2"])
def test_no_fraction_of_full(text: str) -> None:
    assert refusal(text, full=TANK) == (
        f"{text} is no figure. A volume is written like 47.5 L, or as a part of full like 5/8."
    )


def test_fraction_needs_to_know_what_full_is() -> None:
    assert refusal("5/8") == "5/8 is no figure. A volume is written like 47.5 L."


def test_more_than_full() -> None:
    assert refusal("9/8", full=TANK).startswith("9/8 is more than full. ")


def test_value_above_the_tank_is_for_the_tank_to_refuse() -> None:
    assert volume("82 L") == 82


def test_long_text_is_cut_in_the_sentence() -> None:
    assert refusal("9" * 5000).startswith("9" * 40 + "… is no figure.")


def test_below_zero_where_it_is_allowed() -> None:
    assert parse_quantity("−3.5", dimension="voltage", default_unit="V", allow_negative=True) == Decimal("-3.5")


@given(st.text(max_size=50))
def test_any_text_is_read_or_refused_with_a_sentence(text: str) -> None:
    try:
        said = str(volume(text))
    except Unreadable as refused:
        said = str(refused)
    assert Decimal(said) >= 0 if said[0].isdigit() and said[-1].isdigit() else said.endswith(("5/8.", "imp gal."))


@given(st.decimals(min_value=0, max_value=999999, places=1), st.sampled_from(["L", "US gal", "imp gal", "mL"]))
def test_written_is_read_back(value: Decimal, unit: str) -> None:
    written = format_quantity(volume(f"{value} {unit}"), unit, Decimal("0.1"))
    assert volume(written) == volume(f"{value} {unit}")


@pytest.mark.parametrize(
    ("value", "unit", "resolution", "written"),
    [
        ("43.75", "L", "0.1", "43.8 L"),
        ("43.75", "L", "1", "44 L"),
        ("43.75", "L", "5", "44 L"),
        ("43.75", "L", "8.75", "43.75 L"),
        ("12.7", "V", "0.01", "12.70 V"),
        ("41206", "km", "1", "41_206 km"),
        ("66314.628864", "mi", "1", "41_206 mi"),
        ("3500", "kg", "10", "3_500 kg"),
        ("45.424941408", "US gal", "0.1", "12.0 US gal"),
        ("3.792116", "psi", "1", "55 psi"),
        ("-0.3", "kg", "0.1", "−0.3 kg"),
        ("-0.04", "kg", "0.1", "0.0 kg"),
        ("62", "%", "1", "62 %"),
    ],
)
def test_reading_as_it_is_written(value: str, unit: str, resolution: str, written: str) -> None:
    shown = format_quantity(Decimal(value), unit, Decimal(resolution))
    assert shown == "\N{NO-BREAK SPACE}".join(written.replace("_", "\N{NARROW NO-BREAK SPACE}").split(" ", 1))


def test_float_is_no_reading() -> None:
    with pytest.raises(TypeError, match="not float"):
        format_quantity(47.5, "L", Decimal("0.1"))  # type: ignore[arg-type]
