"""Split or merge: which marks are one event decides how often the excess is paid."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from handover.acting import CannotBe
from handover.charges import parse, price
from handover.damage.actions import group_damages, price_repair
from handover.damage.found import damages_of, default_events
from handover.damage.trial import totals_of
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.statement.inputs import pricing_document
from handover.walkround import actions as walk_actions
from shared.access.models import Person
from shared.access.scope import NotAllowed
from tests.damage.conftest import DOOR, LATER, bring_back, marks
from tests.factories import BACK_AT, an_act
from tests.playing import start

pytestmark = pytest.mark.django_db


def events(rental: Rental, *groups: tuple[int, ...], cause: str = "") -> list[dict[str, Any]]:
    """Marks by their place, grouped: (0, 1) is one event, (0,), (1,) are two."""
    found = marks(rental)
    return [
        {"id": f"E{number}", "cause": cause, "place": "", "marks": [str(found[place].pk) for place in group]}
        for number, group in enumerate(groups, start=1)
    ]


def group(rental: Rental, by: Person, *groups: tuple[int, ...], reason: str = "Two posts on two days") -> None:
    group_damages(rental, events=events(rental, *groups), reason=reason, act=an_act(by, at=LATER))


def due(rental: Rental) -> dict[str, list[str]]:
    lines: dict[str, list[str]] = {}
    for line in price(parse(pricing_document(rental))).lines:
        lines.setdefault(line.code, []).append(str(line.amount))
    return lines


def test_one_for_each_side_until_somebody_decides(back: Rental) -> None:
    assert [event["place"] for event in default_events(damages_of(back))] == ["left", "rear"]


def test_two_events_are_two_excesses_and_two_fees(quoted: Rental, callum: Person) -> None:
    group(quoted, callum, (0,), (1,))
    assert due(quoted) == {"DAMAGE": ["1000.00", "1000.00"], "ADMIN": ["40.00", "40.00"]}


def test_merged_the_excess_is_shared_to_the_cent(quoted: Rental, callum: Person) -> None:
    """1000.00 in the ratio of 1200 to 1100 is 521.74 and 478.26; the fee once."""
    group(quoted, callum, (0,), (1,))
    group(quoted, callum, (0, 1), reason="One post, one turn")
    assert due(quoted) == {"DAMAGE": ["521.74", "478.26"], "ADMIN": ["40.00"]}


def test_the_jump_is_shown_before_it_is_decided(quoted: Rental) -> None:
    totals = {row.name: str(row.total) for row in totals_of(pricing_document(quoted), events(quoted, (0, 1)))}
    assert totals == {"As it stands": "2080.00", "As chosen here": "1040.00", "All in one": "1040.00"}


def test_a_reason_is_demanded(quoted: Rental, callum: Person) -> None:
    with pytest.raises(CannotBe, match="one event more is one excess more"):
        group(quoted, callum, (0,), (1,), reason=" ")


@pytest.mark.parametrize("groups", [((0,),), ((0, 1), (1,)), ((0, 0), (1,))])
def test_every_mark_in_one_event(quoted: Rental, callum: Person, groups: Any) -> None:
    with pytest.raises(CannotBe) as refused:
        group(quoted, callum, *groups)
    assert refused.value.field == "events"


def test_the_reason_stands_in_the_document(quoted: Rental, callum: Person) -> None:
    group(quoted, callum, (0,), (1,))
    reasons = [event["split_reason"] for event in pricing_document(quoted)["events"]]
    assert reasons == ["Two posts on two days"] * 2


def test_a_source_says_who_saw_it_and_who_quoted(quoted: Rental) -> None:
    sources = pricing_document(quoted)["sources"]
    assert sources["events[0].items[0].size_mm"]["who"] == "Callum Reid"
    assert sources["events[0].items[0].size_mm"]["at"] == "2026-08-18T11:00:00+01:00"
    assert sources["events[0].items[0].estimate"]["instrument"] == "estimate Workshop 118"


def test_an_invoice_below_the_estimate_lowers_it(quoted: Rental, callum: Person) -> None:
    rental = quoted
    assert rental.frozen is not None
    rental.frozen["rules"]["damage"] = {"pricing": "invoice"}
    rental.save(update_fields=["frozen"])
    price_repair(
        rental, mark=marks(rental)[0].pk, basis="invoice", amount=Decimal("600.00"), reference="Invoice 9",
        act=an_act(callum, at=LATER),
    )  # fmt: skip
    assert due(rental)["DAMAGE"] == ["600.00", "1000.00"]


def test_without_a_price_nothing_is_charged(back: Rental, callum: Person) -> None:
    result = draw_up(back, act=an_act(callum, at=LATER)).result
    assert '"code":"DAMAGE","reason":"provisional"' in result
    assert '"ref":"Mark 1, left door"' in result


@pytest.mark.parametrize(
    ("said", "field"),
    [({"amount": Decimal(0)}, "amount"), ({"amount": Decimal("1.005")}, "amount"), ({"reference": " "}, "reference")],
)
def test_a_price_that_cannot_be(back: Rental, callum: Person, said: Any, field: str) -> None:
    plain = {"mark": marks(back)[0].pk, "basis": "estimate", "amount": Decimal(10), "reference": "Workshop"}
    with pytest.raises(CannotBe) as refused:
        price_repair(back, **{**plain, **said}, act=an_act(callum, at=LATER))
    assert refused.value.field == field


def test_a_replay_prices_once(back: Rental, callum: Person) -> None:
    act = an_act(callum, at=LATER)
    for _ in range(2):
        price_repair(back, mark=marks(back)[0].pk, basis="estimate", amount=Decimal(10), reference="W", act=act)
    assert back.repair_prices.count() == 1


def test_the_coordinator_groups_nothing(quoted: Rental, maeve: Person) -> None:
    with pytest.raises(NotAllowed):
        group(quoted, maeve, (0, 1))


def test_nothing_is_grouped_once_it_is_settled(quoted: Rental, ruth: Person) -> None:
    Rental.objects.filter(pk=quoted.pk).update(state="settled")
    quoted.refresh_from_db()
    with pytest.raises(CannotBe, match="is settled"):
        group(quoted, ruth, (0, 1))


def test_no_split_after_the_announced_time(quoted: Rental, callum: Person) -> None:
    """Two events cost more than one: 48 hours after the return only merging is left."""
    group(quoted, callum, (0, 1))
    late = an_act(callum, at=LATER + timedelta(hours=48))
    with pytest.raises(CannotBe, match="Late findings were announced"):
        group_damages(quoted, events=events(quoted, (0,), (1,)), reason="Two posts", act=late)


def test_only_growth_of_a_known_mark_is_charged(out: Rental, isla: Person, callum: Person) -> None:
    """30 mm at pickup, 120 mm at return: 90 of 120 mm of 400.00 are 300.00."""
    known = known_scratch(out, isla)
    walk = start(out, "return", callum, at=BACK_AT, arrived_at=BACK_AT)
    walk_actions.judge_mark(walk, mark_id=known.pk, word="worse", size_mm=120, act=an_act(callum, at=BACK_AT))
    walk_actions.finish(walk, act=an_act(callum, at=BACK_AT))
    out.refresh_from_db()
    price_repair(out, mark=known.pk, basis="estimate", amount=Decimal(400), reference="W", act=an_act(callum, at=LATER))
    assert due(out)["DAMAGE"] == ["300.00"]
    (damage,) = damages_of(out)
    assert (damage.known_size_mm, damage.size_mm, damage.by) == (30, 120, callum)


def known_scratch(rental: Rental, by: Person) -> Any:
    unit = rental.legs.get().unit
    return unit.marks.create(
        number=1, station_number=1, kind="scratch", part="door", place="left door", size_mm=30, x_mm=-1025, y_mm=2600,
        found_at=BACK_AT, found_by=by,
    )  # fmt: skip


def test_a_mark_found_later_joins_its_side(out: Rental, callum: Person) -> None:
    bring_back(out, callum, DOOR)
    group(out, callum, (0,), reason="One post")
    document = pricing_document(out)
    assert [len(event["items"]) for event in document["events"]] == [1]


def test_more_words_than_there_is_room_for(quoted: Rental, callum: Person) -> None:
    long = events(quoted, (0, 1), cause="post " * 100)
    with pytest.raises(CannotBe, match=r"There is room for 200 letters here; these are 500."):
        group_damages(quoted, events=long, reason="One post", act=an_act(callum, at=LATER))
