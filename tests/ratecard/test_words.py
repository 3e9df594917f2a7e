"""Every parameter that pricing knows is on the page, in words; every choice is one that pricing reads."""

from collections.abc import Iterator
from contextlib import suppress
from zoneinfo import ZoneInfo

import pytest

from handover.charges.document.case import Rules
from handover.charges.document.intake import Intake, RefusedError, record
from handover.ratecard.choices import CHOICES
from handover.ratecard.editor import Editing, sections
from handover.ratecard.flat import rules_of
from handover.ratecard.labels import LABELS, SECTIONS
from handover.ratecard.schema import Group, Leaf, Node, Steps, schema
from handover.ratecard.words import label_of, limit_words, title_of, value_words
from tests.ratecard.conftest import FULL


def leaves(node: Node, at: str = "") -> Iterator[str]:
    if isinstance(node, Leaf):
        yield at
    elif isinstance(node, Group):
        for name, part in node.parts.items():
            yield from leaves(part, f"{at}.{name}" if at else name)
    else:
        yield from leaves(Leaf("number") if isinstance(node, Steps) else node.part, f"{at}.*")


ALL = list(leaves(schema()))


def sentence(path: str, value: str) -> str:
    """What pricing says to this one value, or nothing."""
    intake = Intake(ZoneInfo("UTC"), [])
    rules = rules_of({path.replace("*", "interior"): value}).rules
    with suppress(RefusedError):
        record(Rules)(rules, "", intake)
    found = [one.sentence for one in intake.problems if one.path == path.replace("*", "interior")]
    return "".join(found)


def test_there_are_as_many_parameters_as_the_trade_needs() -> None:
    assert len(ALL) > 90
    assert {"fuel.swap_leg_policy", "damage.matrix.*.*.*", "equipment.prices.*", "waivers.limits.*"} <= set(ALL)


@pytest.mark.parametrize("path", ALL)
def test_every_parameter_has_words(path: str) -> None:
    assert path in LABELS


def test_every_section_has_a_title() -> None:
    assert list(schema().parts) == list(SECTIONS)


def test_no_words_for_what_is_not_there() -> None:
    ends = {path for path in LABELS if not any(other.startswith(path) for other in ALL)}
    assert ends == set()


@pytest.mark.parametrize("path", sorted(CHOICES))
def test_choices_are_all_that_pricing_reads_and_no_more(path: str) -> None:
    said = sentence(path, "nonsense")
    assert said.endswith(f"none of the choices here: {', '.join(CHOICES[path])}.")


@pytest.mark.parametrize("path", [path for path in ALL if "none of the choices" in sentence(path, "nonsense")])
def test_what_is_chosen_from_is_not_typed(path: str) -> None:
    assert path in CHOICES


def test_what_the_branch_and_the_rental_say_is_not_asked() -> None:
    assert not {"late.opening_hours", "late.closed_dates", "damage.excess"} & set(ALL)


def test_every_parameter_is_reachable_on_the_page() -> None:
    """Each leaf has a field: by its own name, or as a row or block still to be named."""
    shown = sections(Editing({}, {}, {"cleaning": {"interior": "Interior"}}, "GBP", {}))
    fields = [field.path for section in shown for block in section.blocks for field in block.fields]
    rows = [
        row.field.path for section in shown for block in section.blocks for table in block.tables for row in table.rows
    ]
    reached = {re_named(path) for path in fields + rows}
    assert set(ALL) - reached == set()


def re_named(path: str) -> str:
    return ".".join("*" if part.startswith("+") or part in {"interior", "1"} else part for part in path.split("."))


@pytest.mark.parametrize(
    ("path", "value", "title", "words"),
    [
        ("fuel.price_per_litre", "1.62", "Fuel, price", "£1.62/L"),
        ("fuel.aus32.fixed", "30", "Fuel, refill, fixed", "£30.00"),
        ("kits.first_aid.kit_price", "24.00", "Safety kits, First aid kit, whole kit", "£24.00"),
        ("damage.matrix.bumper.scuff.150", "180", "Damage, bumper, scuff, up to 150 mm, repair", "£180.00"),
        ("distance.tiers.beyond", "0.4", "Distance, beyond, rate", "£0.40"),
        ("late.daily_cap", "1400", "Late return, at most in 24 hours", "£1\u202f400.00"),
        ("distance.tiers.beyond", "0.125", "Distance, beyond, rate", "£0.125"),
        ("distance.tiers.beyond", "a lot", "Distance, beyond, rate", "a lot"),
        ("distance.included_per_day", "none", "Distance, included a day", "unlimited"),
        ("waivers.limits.manager", "none", "Waivers, manager, may waive", "no limit"),
        ("fuel.policy", "same_to_same", "Fuel, comes back", "as it left"),
        ("damage.excluded", "roof\nglass", "Damage, not covered", "roof; glass"),
        ("admin.per_fine", "30", "Handling fees, A fine", "£30.00"),
    ],
)  # fmt: skip
def test_a_value_is_said_in_the_words_of_the_trade(path: str, value: str, title: str, words: str) -> None:
    assert title_of(path, {"first_aid": "First aid kit"}).casefold() == title.casefold()
    assert value_words(path, value, "GBP") == words


def test_a_parameter_without_words_is_called_by_its_key() -> None:
    assert label_of("fuel.some_new_fee").words == "Some new fee"


def test_limits() -> None:
    assert [limit_words("150", "mm"), limit_words("beyond"), limit_words("none")] == [
        "up to 150 mm",
        "beyond",
        "beyond",
    ]


def test_the_full_card_uses_every_section_but_the_late_findings() -> None:
    assert set(SECTIONS) - set(FULL) == {"late_findings"}
