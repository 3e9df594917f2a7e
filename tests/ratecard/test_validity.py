"""Every day has one card, and nothing that a branch has lacks a price."""

from datetime import date
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from fleet.models import Branch, Layout
from handover.ratecard.fleet_facts import fleet_facts
from handover.ratecard.validity import check_card, check_rate_cards, grade_of
from handover.rental.models import RateCard
from handover.walkround.models import Mark
from shared.access.models import Person
from tests.factories import NINE, RULES, LayoutFactory, RateCardFactory, UnitFactory
from tests.ratecard.conftest import FULL

pytestmark = pytest.mark.django_db
TODAY = date(2026, 8, 14)


def said(branch: Branch) -> list[str]:
    return [str(trouble) for trouble in check_rate_cards(branch, today=TODAY)]


def left_out(branch: Branch, **rules: Any) -> str:
    return " ".join(check_card(RULES | rules, branch, fleet_facts(branch)))


def test_the_full_card_holds(card: RateCard, inverlark: Branch) -> None:
    assert said(inverlark) == []


def test_no_card_at_all(inverlark: Branch) -> None:
    assert said(inverlark) == ["No rate card counts: no pickup can be signed. Begin a draft and publish it."]


def test_a_draft_fills_no_gap(inverlark: Branch) -> None:
    RateCardFactory(draft=True)
    assert "No rate card counts" in said(inverlark)[0]


def test_a_gap_before_the_first(inverlark: Branch) -> None:
    RateCardFactory(valid_from=date(2026, 9, 1))
    assert said(inverlark)[0].startswith("No rate card counts from today until 1 Sept 2026")


def test_two_from_one_day(card: RateCard, inverlark: Branch) -> None:
    RateCardFactory(number=9, valid_from=card.valid_from, rules=FULL)
    assert said(inverlark) == ["Cards 7 and 9 all count from 1 Jan 2026. Only 9 is ever used."]


def test_an_older_card_that_takes_over_again(card: RateCard, inverlark: Branch) -> None:
    RateCardFactory(number=6, valid_from=date(2026, 10, 1), rules=FULL)
    assert said(inverlark)[0].startswith("From 1 Oct 2026 card 6 replaces the newer card 7.")


def test_what_is_past_is_not_looked_at(card: RateCard, inverlark: Branch) -> None:
    RateCardFactory(number=5, valid_from=date(2025, 1, 1), rules={})
    assert said(inverlark) == []


def test_what_is_to_come_is_looked_at(card: RateCard, inverlark: Branch) -> None:
    RateCardFactory(number=8, valid_from=date(2026, 12, 1), rules=FULL | {"kits": {}})
    assert said(inverlark) == ["Card 8: First aid kit (first_aid) of Skerry has no rule: opened, it is not charged."]


@pytest.mark.parametrize("section", ["fuel", "gas"])
def test_what_is_read_has_a_rule(card: RateCard, inverlark: Branch, section: str) -> None:
    rules = {name: rule for name, rule in RULES.items() if name != section}
    assert f"There is no rule for {section}" in " ".join(check_card(rules, inverlark, fleet_facts(inverlark)))


def test_equipment_in_another_currency_needs_a_price(port_averil: Branch) -> None:
    UnitFactory(branch=port_averil, number="266")
    assert "Priced in GBP only, not in CAD, so not charged when missing: Straps." in left_out(port_averil)
    assert "Straps" not in left_out(port_averil, equipment={"prices": {"straps": "15.00"}})


def test_two_fuels_under_one_price(inverlark: Branch) -> None:
    UnitFactory()
    assert grade_of(fleet_facts(inverlark)) == "diesel"
    UnitFactory(number="118", layout=LayoutFactory(code="machair", fuel="petrol", stations=[]))
    words = "One price per litre stands for diesel and petrol alike: diesel for unit 407; petrol for unit 118."
    assert words in left_out(inverlark)
    assert grade_of(fleet_facts(inverlark)) == ""


def test_a_unit_without_a_fuel_grade(inverlark: Branch) -> None:
    UnitFactory()
    Layout.objects.update(fuel="")
    assert "No fuel grade: unit 407." in left_out(inverlark)


def test_a_mark_that_the_matrix_does_not_price(card: RateCard, inverlark: Branch, isla: Person) -> None:
    unit = inverlark.units.get()
    for number, part in enumerate(("bumper", "mirror"), start=1):
        Mark.objects.create(
            unit=unit, number=number, station_number=1, kind="scuff", part=part, place="left", size_mm=40, x_mm=0,
            y_mm=0, found_at=NINE, found_by=isla,
        )  # fmt: skip
    assert said(inverlark) == ["Card 7: The repair matrix has no price for marks that units have: mirror scuff."]


def test_what_cannot_be_priced_by_is_said(inverlark: Branch) -> None:
    RateCardFactory(rules={"fuel": {"price_per_litre": "cheap"}})
    assert said(inverlark)[0].startswith('Card 7: Fuel, price: "cheap" is not a plain number')


def test_a_long_list_is_cut(port_averil: Branch) -> None:
    layout = UnitFactory(branch=port_averil, number="266").layout
    for number in range(7):
        layout.stations.first().equipments.create(code=f"mug-{number}", name=f"Mug {number}", price="2.00")
    assert "Mug 0, Mug 1, Mug 2, Mug 3 and 4 more." in left_out(port_averil)


def test_the_command_says_it_and_fails(card: RateCard, port_averil: Branch, capsys: Any) -> None:
    with pytest.raises(SystemExit) as end:
        call_command("check_rate_cards")
    assert end.value.code == 1
    assert capsys.readouterr().out.startswith("Port Averil. No rate card counts")


def test_the_command_of_one_branch(card: RateCard, port_averil: Branch, capsys: Any) -> None:
    RateCard.objects.filter(pk=card.pk).update(valid_from=date(2025, 1, 1))
    call_command("check_rate_cards", branch="inverlark")
    assert capsys.readouterr().out.startswith("The rate cards hold")


def test_the_command_of_no_branch(card: RateCard) -> None:
    with pytest.raises(CommandError, match=r"strathbeg is no branch\. Known: inverlark"):
        call_command("check_rate_cards", branch="strathbeg")
