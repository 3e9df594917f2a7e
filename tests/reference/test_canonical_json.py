"""Canonical JSON against RFC 8785: its example, its table of numbers and the public test vectors of its authors."""

import json
import math
import struct

import pytest

from shared.canonical import canonical, canonical_text, digest, parse, sha256_hex

pytestmark = [pytest.mark.reference, pytest.mark.source("RFC 8785 and the test vectors of its authors")]

EXAMPLE = r"""{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""
EXAMPLE_SHA256 = "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"


def test_example_of_section_3_2_2() -> None:
    assert (
        canonical(json.loads(EXAMPLE))
        == (
            '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
            '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
        ).encode()
    )


def test_digest_of_the_example() -> None:
    assert digest(json.loads(EXAMPLE)) == EXAMPLE_SHA256


def test_arrays() -> None:
    written = canonical([56, {"d": True, "10": None, "1": []}])
    assert written == b'[56,{"1":[],"10":null,"d":true}]'
    assert sha256_hex(written) == "099601b171cafed97c333f8878d68e7f8c8f795412adb34b2fdcf0e7c7beac42"


def test_keys_are_sorted_without_regard_to_language() -> None:
    french = {
        "peach": "This sorting order",
        "péché": "is wrong according to French",
        "pêche": "but canonicalization MUST",
        "sin": "ignore locale",
    }
    assert list(json.loads(canonical(french))) == ["peach", "péché", "pêche", "sin"]
    assert digest(french) == "d99d0ebdcb0033cb858cfa830ae46bc0fb3309413b271f1da828c89901a27ed5"


def test_keys_are_sorted_by_utf_16_units() -> None:
    """U+1F600 is a pair of surrogates from U+D83D: it stands before U+FB33, though its code point is larger."""
    assert canonical_text({"\ufb33": 1, "\U0001f600": 2}) == '{"\U0001f600":2,"\ufb33":1}'


@pytest.mark.parametrize(
    ("ieee", "written"),
    [
        ("0000000000000000", "0"),
        ("8000000000000000", "0"),
        ("0000000000000001", "5e-324"),
        ("8000000000000001", "-5e-324"),
        ("7fefffffffffffff", "1.7976931348623157e+308"),
        ("ffefffffffffffff", "-1.7976931348623157e+308"),
        ("4340000000000000", "9007199254740992"),
        ("c340000000000000", "-9007199254740992"),
        ("4430000000000000", "295147905179352830000"),
        ("44b52d02c7e14af5", "9.999999999999997e+22"),
        ("44b52d02c7e14af6", "1e+23"),
        ("44b52d02c7e14af7", "1.0000000000000001e+23"),
        ("444b1ae4d6e2ef4e", "999999999999999700000"),
        ("444b1ae4d6e2ef4f", "999999999999999900000"),
        ("444b1ae4d6e2ef50", "1e+21"),
        ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
        ("3eb0c6f7a0b5ed8d", "0.000001"),
        ("41b3de4355555553", "333333333.3333332"),
        ("41b3de4355555554", "333333333.33333325"),
        ("41b3de4355555555", "333333333.3333333"),
        ("41b3de4355555556", "333333333.3333334"),
        ("41b3de4355555557", "333333333.33333343"),
        ("becbf647612f3696", "-0.0000033333333333333333"),
        ("43143ff3c1cb0959", "1424953923781206.2"),
    ],
)
def test_numbers_of_appendix_b(ieee: str, written: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(ieee))
    assert canonical_text(number) == written


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf, 2**53 + 1])
def test_what_json_cannot_hold_is_refused(number: float) -> None:
    with pytest.raises(ValueError, match=r".*"):
        canonical(number)


def test_text_that_is_not_unicode_is_refused() -> None:
    with pytest.raises(ValueError, match=r".*"):
        canonical("\ud800")


def test_canonical_form_is_its_own_canonical_form() -> None:
    once = canonical(json.loads(EXAMPLE))
    assert canonical(parse(once)) == once
