"""Events, the excess, exclusions, loss of use and the handling fee."""

from typing import Any

import pytest

from tests.charges.documents import LATE, amounts, damaged, due, event, extra, line, priced, reasons

DAY2, DAY3, DAY5 = "2026-05-04T12:00", "2026-05-05T12:00", "2026-05-07T12:00"


def rules(excess: str | None = "1000.00", **more: Any) -> dict[str, Any]:
    damage = {**({} if excess is None else {"excess": excess}), **more.pop("damage", {})}
    return {"damage": damage, **more}


def test_two_damages_share_one_excess_to_the_cent() -> None:
    answer = due(rules=rules("100.00"), events=[event(*[damaged(f"p{at}", "50.00") for at in range(3)])])
    assert answer == {"DAMAGE p0": "33.34", "DAMAGE p1": "33.33", "DAMAGE p2": "33.33"}


def test_in_order_the_last_takes_the_rest() -> None:
    items = [damaged("a", "600.00"), damaged("b", "600.00"), damaged("c", "600.00")]
    answer = due(rules=rules(damage={"allocation": "in_order"}), events=[event(*items)])
    assert answer == {"DAMAGE a": "600.00", "DAMAGE b": "400.00", "DAMAGE c": "0.00"}


def test_at_the_excess_nothing_is_covered() -> None:
    assert line(priced(rules=rules("780.00"), events=[event(damaged())]), "DAMAGE").covered == 0


def test_without_an_agreed_excess_the_repair_is_payable() -> None:
    assert due(rules=rules(None), events=[event(damaged())]) == {"DAMAGE rear bumper": "780.00"}


def two_events(first: str | None = DAY2, second: str | None = DAY5) -> list[dict[str, Any]]:
    return [
        event(damaged("left", "1500.00"), at=first),
        event(damaged("right", "1500.00"), name="E2", cause="post", at=second),
    ]


def test_an_excess_for_each_event() -> None:
    assert due(rules=rules(), events=two_events()) == {"DAMAGE left": "1000.00", "DAMAGE right": "1000.00"}


@pytest.mark.parametrize(
    ("first", "second", "left", "right"),
    [(DAY2, DAY5, "1000.00", "200.00"), (DAY5, DAY2, "200.00", "1000.00"), (None, DAY2, "200.00", "1000.00")],
)
def test_one_excess_for_the_rental_in_order_of_time(first: Any, second: Any, left: str, right: str) -> None:
    events = two_events(first, second)
    events[0]["items"][0]["repair"], events[1]["items"][0]["repair"] = "1000.00", "1000.00"
    damage = {"excess_per": "rental"}
    assert due(rules=rules("1200.00", damage=damage), events=events) == {"DAMAGE left": left, "DAMAGE right": right}


def test_excluded_items_use_nothing_of_a_rentals_excess() -> None:
    events = two_events()
    events[0]["items"][0]["excluded"] = True
    answer = due(rules=rules(damage={"excess_per": "rental"}), events=events)
    assert answer == {"DAMAGE left": "1500.00", "DAMAGE right": "1000.00"}


def test_a_reduction_counts_from_its_time_on() -> None:
    options = [{"excess": "500.00", "from": DAY3}]
    answer = due(rules=rules("2000.00", damage={"options": options}), events=two_events())
    assert answer == {"DAMAGE left": "1500.00", "DAMAGE right": "500.00"}


@pytest.mark.parametrize(
    ("option", "amount"),
    [
        ({"excess": "500.00", "from": DAY2}, "500.00"),  # from its very minute
        ({"excess": "500.00", "to": DAY2}, "500.00"),
        ({"excess": "500.00", "to": "2026-05-04T11:59"}, "1000.00"),
        ({"excess": "1800.00"}, "1000.00"),  # the lowest counts
    ],
)
def test_when_an_option_runs(option: dict[str, str], amount: str) -> None:
    answer = due(rules=rules(damage={"options": [option]}), events=two_events()[:1])
    assert answer == {"DAMAGE left": amount}


def test_an_event_of_unknown_time_has_every_option() -> None:
    options = [{"excess": "500.00", "from": DAY3}]
    assert due(rules=rules(damage={"options": options}), events=two_events(None)[:1]) == {"DAMAGE left": "500.00"}


@pytest.mark.parametrize(
    ("bought", "late_purchase", "left", "right"),
    [
        ("2026-04-20T09:00", None, "500.00", "500.00"),
        (DAY3, "from_now", "1000.00", "500.00"),
        (DAY3, "reject_and_refund", "1000.00", "1000.00"),
    ],
)
def test_a_prepaid_reduction(bought: str, late_purchase: Any, left: str, right: str) -> None:
    option = extra("lower excess", bought=bought, excess={"excess": "500.00"})
    option |= {"late_purchase": late_purchase} if late_purchase else {}
    answer = due(rules=rules(), events=two_events(), prepaid=[option])
    assert (answer["DAMAGE left"], answer["DAMAGE right"]) == (left, right)


def test_a_late_reduction_with_a_start_of_its_own() -> None:
    option = extra(bought=DAY2, late_purchase="from_now", excess={"excess": "500.00", "from": DAY5})
    answer = due(rules=rules(), events=two_events(), prepaid=[option])
    assert answer == {"DAMAGE left": "1000.00", "DAMAGE right": "500.00"}


ROOF = damaged("roof", "3000.00", group="roof")


@pytest.mark.parametrize(
    ("excluded", "more", "amount"),
    [
        (["roof"], {}, "3000.00"),
        (["scraped gate"], {}, "3000.00"),
        ([], {}, "1000.00"),
        (["roof"], {"excluded": False}, "1000.00"),
        ([], {"excluded": True}, "3000.00"),
    ],
)
def test_exclusions_by_part_group_or_cause(excluded: list[str], more: dict[str, bool], amount: str) -> None:
    answer = due(rules=rules(damage={"excluded": excluded}), events=[event({**ROOF, **more})])
    assert answer == {"DAMAGE roof": amount}


@pytest.mark.parametrize(("scope", "bumper"), [("item_only", "780.00"), ("whole_event", "780.00")])
def test_an_exclusion_hits_the_item_or_the_event(scope: str, bumper: str) -> None:
    damage = {"excluded": ["roof"], "exclusion_scope": scope}
    answer = due(rules=rules("500.00", damage=damage), events=[event(ROOF, damaged())])
    assert answer["DAMAGE rear bumper"] == ("500.00" if scope == "item_only" else bumper)


@pytest.mark.parametrize("cause", ["wrong fuel", "contaminated water"])
def test_causes_that_void_the_option(cause: str) -> None:
    assert due(rules=rules("100.00"), events=[event(damaged(), cause=cause)]) == {"DAMAGE rear bumper": "780.00"}


@pytest.mark.parametrize("marked", [{}, {"excluded": True}])
def test_an_add_on_takes_an_exclusion_back(marked: dict[str, bool]) -> None:
    cover = extra("roof cover", excess={"takes_back": ["roof"]})
    answer = due(rules=rules(damage={"excluded": ["roof"]}), events=[event({**ROOF, **marked})], prepaid=[cover])
    assert answer == {"DAMAGE roof": "1000.00"}


def test_an_add_on_with_an_excess_of_its_own() -> None:
    glass = [damaged("windscreen", "900.00", group="glass"), damaged("side window", "500.00", group="glass")]
    covers = [
        extra("glass", excess={"own_excess": {"glass": "100.00"}}),
        extra("x", excess={"own_excess": {"glass": "150"}}),
    ]
    answer = due(rules=rules("400.00"), events=[event(damaged(), *glass)], prepaid=covers)
    assert answer == {"DAMAGE rear bumper": "400.00", "DAMAGE windscreen": "64.29", "DAMAGE side window": "35.71"}


LOSS = {"day_rate": "110.00", "factor": "0.60", "max_days": 14}


def stood(days: int = 6, loss: dict[str, Any] | None = None, late: Any = None, **more: Any) -> Any:
    terms = rules("500.00", loss_of_use={**LOSS, **(loss or {})}, **({"late": late} if late else {}))
    times = {"returned_at": "2026-05-11T10:00"} if late else {}
    return priced(rules=terms, rental=times, events=[event(damaged(), off_road_days=days, **more)])


def test_loss_of_use_beside_the_excess() -> None:
    assert amounts(stood()) == {"DAMAGE rear bumper": "500.00", "LOSS_OF_USE E1": "396.00"}


@pytest.mark.parametrize(
    ("allocation", "shares"), [("pro_rata", ["331.63", "168.37"]), ("in_order", ["500.00", "0.00"])]
)
def test_loss_of_use_inside_the_excess(allocation: str, shares: list[str]) -> None:
    terms = rules("500.00", damage={"allocation": allocation}, loss_of_use={**LOSS, "inside_excess": True})
    statement = priced(rules=terms, events=[event(damaged(), off_road_days=6)])
    assert [str(one.amount) for one in statement.lines] == shares


def test_loss_of_use_is_outside_when_the_event_is_void() -> None:
    terms = rules("500.00", damage={"exclusion_scope": "whole_event"}, loss_of_use={**LOSS, "inside_excess": True})
    statement = priced(rules=terms, events=[event(damaged(excluded=True), off_road_days=20)])
    assert [str(one.amount) for one in statement.lines] == ["780.00", "924.00"]


@pytest.mark.parametrize(
    ("days", "loss", "more", "amount"),
    [
        (20, {}, {}, "924.00"),
        (20, {"max_days": None, "factor": "1"}, {}, "2200.00"),
        (6, {}, {"other_work_days": 2}, "264.00"),
        (6, {"proof": "utilisation"}, {"off_road_proof": "fully booked in May"}, "396.00"),
    ],
)
def test_days_off_the_road(days: int, loss: dict[str, Any], more: dict[str, Any], amount: str) -> None:
    assert amounts(stood(days, loss, **more))["LOSS_OF_USE E1"] == amount


@pytest.mark.parametrize(
    ("loss", "more", "reason"),
    [
        ({"proof": "utilisation"}, {}, "not_proven"),
        ({}, {"other_work_days": 9}, "one_finding_one_line"),
    ],
)
def test_why_no_loss_of_use(loss: dict[str, Any], more: dict[str, Any], reason: str) -> None:
    statement = stood(6, loss, **more)
    assert reasons(statement)["LOSS_OF_USE E1"] == reason


def test_no_loss_of_use_without_a_repair_charged() -> None:
    terms = rules(loss_of_use=LOSS)
    assert due(rules=terms, events=[event(damaged(pre_existing=True), off_road_days=6)]) == {}


@pytest.mark.parametrize(
    ("admin", "fee"),
    [
        ({"per_damage_event": "60.00"}, "60.00"),
        ({"damage_pct": "10"}, "50.00"),
        ({"damage_pct": "10", "damage_min": "75.00"}, "75.00"),
        ({"damage_pct": "10", "damage_min": "5", "damage_max": "40.00"}, "40.00"),
        ({}, None),
    ],
)
def test_the_handling_fee(admin: dict[str, str], fee: str | None) -> None:
    assert due(rules=rules("500.00", admin=admin), events=[event(damaged())]).get("ADMIN E1") == fee


@pytest.mark.parametrize("admin", [{"per_damage_event": "60.00"}, {"damage_pct": "10"}])
def test_no_fee_when_nothing_is_payable(admin: dict[str, str]) -> None:
    assert due(rules=rules("0", admin=admin), events=[event(damaged())]) == {"DAMAGE rear bumper": "0.00"}


def alike(**more: Any) -> list[dict[str, Any]]:
    told = {"at": DAY2, "place": "farm gate", **more}
    return [event(damaged("left", "900.00"), **told), event(damaged("right", "900.00"), name="E2", **told)]


@pytest.mark.parametrize(
    ("more", "events"),
    [
        ({}, 1),
        ({"split_reason": "two gates, ten minutes apart"}, 2),
        ({"place": None}, 2),
        ({"at": None}, 2),
        ({"cause": None, "side": "left", "at": None}, 1),
        ({"cause": "unknown"}, 1),
    ],
)
def test_what_is_one_event(more: dict[str, Any], events: int) -> None:
    statement = priced(rules=rules(admin={"per_damage_event": "50.00"}), events=alike(**more))
    assert [one.code for one in statement.lines].count("ADMIN") == events
    assert (reasons(statement) == {"DAMAGE E2": "merged"}) is (events == 1)


def test_unknown_causes_on_two_sides_are_two() -> None:
    pair = alike(cause=None, at=None)
    pair[0]["side"], pair[1]["side"] = "left", "rear"
    assert len(due(rules=rules(), events=pair)) == 2


def test_merged_events_stand_as_long_as_the_longer_repair() -> None:
    pair = alike()
    pair[0] |= {"off_road_days": 2}
    pair[1] |= {"off_road_days": 5, "recovered": "100.00"}
    answer = due(rules=rules(loss_of_use=LOSS), events=pair)
    assert (answer["LOSS_OF_USE E1"], answer["RECOVERY E1"]) == ("330.00", "-100.00")


def test_merged_events_keep_the_proof_of_the_longer_repair() -> None:
    pair = alike()
    pair[1] |= {"off_road_days": 5, "off_road_proof": "fully booked in May"}
    answer = due(rules=rules(loss_of_use={**LOSS, "proof": "utilisation"}), events=pair)
    assert answer["LOSS_OF_USE E1"] == "330.00"


@pytest.mark.parametrize(
    ("recovery", "amount", "credits_"),
    [
        ("customer_first", "300.00", ["-300.00"]),
        ("customer_first", "530.00", ["-500.00", "-30.00"]),
        ("customer_first", "900.00", ["-500.00", "-60.00"]),
        ("pro_rata", "390.00", ["-250.00"]),
    ],
)
def test_what_a_third_party_paid(recovery: str, amount: str, credits_: list[str]) -> None:
    terms = rules("500.00", damage={"recovery": recovery}, admin={"per_damage_event": "60.00"})
    statement = priced(rules=terms, events=[event(damaged(), recovered=amount)])
    back = [one for one in statement.lines if one.code == "RECOVERY"]
    assert [str(one.amount) for one in back] == credits_
    assert [one.tax_code for one in back] == ["outside_scope", "standard"][: len(back)]


def test_a_recovery_for_nothing_charged() -> None:
    terms = rules("500.00", damage={"recovery": "pro_rata"})
    assert due(rules=terms, events=[event(damaged(pre_existing=True), recovered="100.00")]) == {}


def test_amounts_paid_before_count_towards_a_rentals_excess() -> None:
    before = {"version": 1, "total": "700.00", "excess_paid": "700.00"}
    terms = rules(damage={"excess_per": "rental"})
    assert due(rules=terms, events=two_events()[:1], previous_settlement=before) == {"DAMAGE left": "300.00"}


OFF_ROAD = {"off_road_from": "2026-05-08", "off_road_days": 5}  # to 12 May; due back on the 10th


@pytest.mark.parametrize(
    ("returned", "days"),
    [
        ("2026-05-10T10:30", "550.00"),  # inside the grace: not late
        ("2026-05-10T10:31", "440.00"),
        ("2026-05-11T10:00", "330.00"),
        ("2026-05-12T10:00", "220.00"),
        ("2026-05-20T10:00", "220.00"),
    ],
)
def test_dates_that_are_late_as_well_are_charged_once(returned: str, days: str) -> None:
    rules_ = {"damage": {}, "late": LATE, "loss_of_use": {"day_rate": "110.00"}}
    answer = due(rules=rules_, rental={"returned_at": returned}, events=[event(damaged(), **OFF_ROAD)])
    assert answer["LOSS_OF_USE E1"] == days
