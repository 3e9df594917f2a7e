"""What was found besides levels, counts and marks; without a photo nothing of it is charged."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from fleet.models import Equipment
from handover.acting import CannotBe
from handover.counter.actions import explain_kit, look_at_tanks, look_at_zone, note_item
from handover.counter.actions.finding import ItemState, Tanks
from handover.counter.evidence import Evidence
from handover.rental.models import Rental
from handover.statement.models import Statement
from handover.walkround import actions as walk_actions
from shared.access.models import Person
from shared.access.scope import NotAllowed
from tests.counter.conftest import LATER
from tests.counter.reading import due, inputs, priced_again, sentence_on
from tests.factories import BACK_AT, an_act
from tests.playing import item, start

pytestmark = pytest.mark.django_db


def test_a_zone_with_its_photo(statement: Statement, callum: Person, a_photo: Evidence) -> None:
    look_at_zone(
        statement.rental, zone="interior", tier="heavy", cause="", evidence=a_photo, act=an_act(callum, at=LATER)
    )
    after = priced_again(statement.rental, callum)
    assert due(after)["CLEANING"] == "140.00"
    assert len(inputs(after)["sources"]["cleaning.interior.tier"]["photos"]) == 1


def test_a_zone_without_a_photo_charges_nothing(statement: Statement, callum: Person) -> None:
    look_at_zone(statement.rental, zone="interior", tier="heavy", cause="", act=an_act(callum, at=LATER))
    after = priced_again(statement.rental, callum)
    assert "CLEANING" not in due(after)
    assert sentence_on(after, "CLEANING") == "Not chargeable: not inspected."


def test_the_latest_of_a_zone_counts(statement: Statement, callum: Person, a_photo: Evidence) -> None:
    for tier in ("heavy", "standard"):
        look_at_zone(
            statement.rental, zone="interior", tier=tier, cause="", evidence=a_photo, act=an_act(callum, at=LATER)
        )
    assert due(priced_again(statement.rental, callum))["CLEANING"] == "55.00"


def test_the_cause_stands_in_the_document(statement: Statement, callum: Person, a_photo: Evidence) -> None:
    look_at_zone(
        statement.rental, zone="odour", tier="specialist", cause="smoke", evidence=a_photo,
        act=an_act(callum, at=LATER),
    )  # fmt: skip
    zone = inputs(priced_again(statement.rental, callum))["cleaning"]["odour"]
    assert zone == {"tier": "specialist", "cause": "smoke"}


@pytest.mark.parametrize(
    ("found", "codes"),
    [
        (Tanks(rubbish_bags=2), {"RUBBISH": "16.00"}),
        (Tanks(toilet_rinsed=False), {"TOILET": "60.00"}),
        (Tanks(foul_water="diesel", foul_water_repair=Decimal(1500)), {"DAMAGE": "1500.00", "ADMIN": "40.00"}),
        (Tanks(), {}),
    ],
)
def test_rubbish_cassette_and_foul_water(
    statement: Statement, callum: Person, a_photo: Evidence, found: Tanks, codes: dict[str, str]
) -> None:
    """Foul water is damage that no excess covers: 1500.00 in full with an excess of 1000.00."""
    look_at_tanks(statement.rental, found=found, evidence=a_photo, act=an_act(callum, at=LATER))
    after = due(priced_again(statement.rental, callum))
    assert {code: after[code] for code in set(after) - {"FUEL", "GAS", "SAFETY_KIT", "LATE"}} == codes


def test_tanks_without_a_photo_charge_nothing(statement: Statement, callum: Person) -> None:
    look_at_tanks(statement.rental, found=Tanks(rubbish_bags=2), act=an_act(callum, at=LATER))
    assert "RUBBISH" not in due(priced_again(statement.rental, callum))


@pytest.mark.parametrize(
    ("found", "field"), [(Tanks(rubbish_bags=51), "rubbish_bags"), (Tanks(foul_water_repair=Decimal(9)), "foul_water")]
)
def test_tanks_that_cannot_be(statement: Statement, callum: Person, found: Tanks, field: str) -> None:
    with pytest.raises(CannotBe) as refused:
        look_at_tanks(statement.rental, found=found, act=an_act(callum, at=LATER))
    assert refused.value.field == field


@pytest.mark.parametrize("report", ["injury", "fire"])
def test_a_kit_used_in_an_emergency_is_free(statement: Statement, callum: Person, report: str) -> None:
    explain_kit(statement.rental, kit="first_aid", report=report, words="Report 7", act=an_act(callum, at=LATER))
    after = priced_again(statement.rental, callum)
    assert sentence_on(after, "SAFETY_KIT") == "Not charged: used in an emergency, with a report."


def test_a_report_has_its_number(statement: Statement, callum: Person) -> None:
    with pytest.raises(CannotBe, match="report’s number"):
        explain_kit(statement.rental, kit="first_aid", report="fire", words="", act=an_act(callum, at=LATER))


def test_a_repair_below_zero(statement: Statement, callum: Person) -> None:
    found = Tanks(foul_water="diesel", foul_water_repair=Decimal(-180))
    with pytest.raises(CannotBe, match=r"-180 is below zero\. Give 0 or more\."):
        look_at_tanks(statement.rental, found=found, act=an_act(callum, at=LATER))


def straps() -> Any:
    return Equipment.objects.get(code="straps").pk


def test_broken_the_repair_is_the_most(statement: Statement, callum: Person, a_photo: Evidence) -> None:
    """Two straps at 9.00 less age; the repair of one at 3.00 is lower."""
    found = ItemState("broken", quantity=1, repair=Decimal(3))
    note_item(statement.rental, item=straps(), found=found, evidence=a_photo, act=an_act(callum, at=LATER))
    assert due(priced_again(statement.rental, callum))["EQUIPMENT"] == "3.00"


def test_broken_without_a_photo_charges_nothing(statement: Statement, callum: Person) -> None:
    note_item(statement.rental, item=straps(), found=ItemState("broken"), act=an_act(callum, at=LATER))
    assert "EQUIPMENT" not in due(priced_again(statement.rental, callum))


@pytest.fixture
def short(rates: None, out: Rental, callum: Person) -> Rental:
    """Two straps went out, none came back."""
    pickup = out.legs.get().walk_rounds.get(kind="pickup")
    ask = item(pickup, "straps")
    pickup.counts.create(item_id=ask.id, present=2, at=pickup.started_at, by=callum)
    walk = start(out, "return", callum, at=BACK_AT, arrived_at=BACK_AT)
    walk_actions.count(walk, item=ask.id, present=0, act=an_act(callum, at=BACK_AT))
    walk_actions.finish(walk, act=an_act(callum, at=BACK_AT))
    out.refresh_from_db()
    return out


def test_turned_up_later_it_is_credited_less_the_handling(short: Rental, callum: Person) -> None:
    """2 × 9.00 × 33 of 60 months = 9.90; 9.90 - 5.00 is given back."""
    charged = due(priced_again(short, callum))["EQUIPMENT"]
    found = ItemState("came_back", came_back_on=date(2026, 8, 25))
    note_item(short, item=straps(), found=found, act=an_act(callum, at=LATER + timedelta(days=7)))
    after = due(priced_again(short, callum))
    assert Decimal(after["EQUIPMENT_CREDIT"]) == -(Decimal(charged) - 5)


@pytest.mark.parametrize(
    ("found", "field"),
    [
        (ItemState("lost"), "state"),
        (ItemState("broken", quantity=3), "quantity"),
        (ItemState("came_back", quantity=-1), "quantity"),
        (ItemState("broken", repair=Decimal(-3)), "repair"),
        (ItemState("broken", repair=Decimal("3.001")), "repair"),
        (ItemState("came_back"), "came_back_on"),
        (ItemState("came_back", came_back_on=date(9999, 12, 31)), "came_back_on"),
    ],
)
def test_things_that_cannot_be(statement: Statement, callum: Person, found: ItemState, field: str) -> None:
    with pytest.raises(CannotBe) as refused:
        note_item(statement.rental, item=straps(), found=found, act=an_act(callum, at=LATER))
    assert refused.value.field == field


def test_while_the_return_is_under_way(out: Rental, callum: Person, a_photo: Evidence) -> None:
    start(out, "return", callum, at=BACK_AT, arrived_at=BACK_AT)
    out.refresh_from_db()
    look_at_zone(out, zone="interior", tier="standard", cause="", evidence=a_photo, act=an_act(callum, at=BACK_AT))
    assert out.soilings.count() == 1


def test_not_before_it_is_here(out: Rental, callum: Person) -> None:
    with pytest.raises(CannotBe, match="once it is back"):
        look_at_zone(out, zone="interior", tier="standard", cause="", act=an_act(callum, at=BACK_AT))


def test_the_coordinator_notes_nothing(statement: Statement, maeve: Person) -> None:
    with pytest.raises(NotAllowed):
        look_at_zone(statement.rental, zone="interior", tier="none", cause="", act=an_act(maeve, at=LATER))


def test_a_replay_notes_once(back: Rental, callum: Person, a_photo: Evidence) -> None:
    act = an_act(callum, at=LATER)
    for _ in range(2):
        look_at_zone(back, zone="interior", tier="heavy", cause="", evidence=a_photo, act=act)
    assert back.soilings.count() == 1
