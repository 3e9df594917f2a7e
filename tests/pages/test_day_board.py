"""The day board: who is on it, where, in which words, and for whom."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client

from fleet.models import Branch, DueDate
from handover.board.day import DayBoard
from handover.board.queries import board_of
from handover.rental.models import Rental
from handover.walkround.actions import answer_check
from handover.zone import in_zone_of
from shared.access.models import Person
from tests.factories import BACK_AT, NINE, OUT_AT, RentalFactory, UnitFactory, an_act
from tests.playing import item, start

OUT_DAY, BACK_DAY = date(2026, 8, 14), date(2026, 8, 18)
PAGE = "/branch/inverlark/2026-08-14/"


def board(branch: Branch, day: date, now: datetime) -> DayBoard:
    with in_zone_of(branch):
        return board_of(branch, day, now=now)


def pickup_words(branch: Branch, now: datetime = NINE) -> tuple[str, str, str]:
    said = board(branch, OUT_DAY, now).pickups[0].said
    return said.state, said.lead, said.words


def return_words(branch: Branch, now: datetime) -> tuple[str, str, str]:
    said = board(branch, BACK_DAY, now).returns[0].said
    return said.state, said.lead, said.words


def test_shows_the_day(as_isla: Client, booked: Rental) -> None:
    page = as_isla.get(PAGE).text
    assert "Friday 14 August" in page
    assert "Maren Oduya" in page
    assert '<time datetime="2026-08-14T10:00:00+01:00">10:00</time>' in page
    assert f'href="/rental/{booked.pk}/"' in page


def test_stands_at_its_quarter_hour(inverlark: Branch, booked: Rental) -> None:
    peg = board(inverlark, OUT_DAY, NINE).pickups[0]
    assert (peg.place, peg.unit) == (8, "407")


def test_two_at_the_same_time_do_not_lie_over_each_other(inverlark: Branch, booked: Rental) -> None:
    RentalFactory(leg=UnitFactory(number="305"))
    first, second = board(inverlark, OUT_DAY, NINE).pickups
    assert second.place - first.place >= 4


def test_a_return_has_its_own_side(inverlark: Branch, booked: Rental) -> None:
    day = board(inverlark, BACK_DAY, NINE)
    assert [len(day.pickups), len(day.returns)] == [0, 1]


def test_a_cancelled_rental_is_not_on_it(inverlark: Branch, booked: Rental) -> None:
    Rental.objects.update(state="cancelled")
    assert board(inverlark, OUT_DAY, NINE).pickups == ()


def test_ready(inverlark: Branch, booked: Rental) -> None:
    assert pickup_words(inverlark) == ("ready", "", "Ready")


def test_only_booked_on_another_day(inverlark: Branch, booked: Rental) -> None:
    assert pickup_words(inverlark, NINE - timedelta(days=1)) == ("ready", "", "Booked")


def test_past_its_time(inverlark: Branch, booked: Rental) -> None:
    assert pickup_words(inverlark, OUT_AT + timedelta(minutes=35)) == ("late", "35 min past.", "Not begun")


def test_held_by_what_is_due_before_it_is_back(inverlark: Branch, booked: Rental) -> None:
    DueDate.objects.create(unit=booked.legs.get().unit, kind="gas", due_on=BACK_DAY)
    assert pickup_words(inverlark) == ("held", "", "Held: gas inspection due")


def test_not_held_by_what_is_due_after(inverlark: Branch, booked: Rental) -> None:
    DueDate.objects.create(unit=booked.legs.get().unit, kind="gas", due_on=BACK_DAY + timedelta(days=1))
    assert pickup_words(inverlark)[0] == "ready"


def test_waits_for_the_unit(inverlark: Branch, out: Rental) -> None:
    later = OUT_AT + timedelta(days=4, hours=3)
    RentalFactory(leg=out.legs.get().unit, planned_out_at=later, planned_back_at=later + timedelta(days=3))
    said = board(inverlark, BACK_DAY, BACK_AT - timedelta(hours=3)).pickups[0].said
    assert said.words == "Once it is back"


def test_walk_round_under_way(inverlark: Branch, booked: Rental, isla: Person) -> None:
    start(booked, "pickup", isla)
    assert pickup_words(inverlark) == ("now", "", "Walk-round 0 of 2, Isla M.")


def test_held_by_a_failed_safety_check(inverlark: Branch, booked: Rental, isla: Person) -> None:
    walk = start(booked, "pickup", isla)
    answer_check(walk, item=item(walk, "Smell of gas").id, word="bad", act=an_act(isla))
    assert pickup_words(inverlark) == ("held", "", "Held: smell of gas")


def test_gone(inverlark: Branch, out: Rental) -> None:
    assert pickup_words(inverlark) == ("done", "", "Gone 09:00")


def test_not_gone_yet(inverlark: Branch, booked: Rental) -> None:
    assert return_words(inverlark, BACK_AT - timedelta(days=5)) == ("ready", "", "Not gone yet")


@pytest.mark.parametrize(
    ("before", "said"),
    [
        (timedelta(minutes=23), ("ready", "", "Due in 23 min")),
        (timedelta(hours=3), ("ready", "", "Out")),
        (timedelta(minutes=-107), ("late", "1 h 47 late", "")),
    ],
)
def test_due_and_late(inverlark: Branch, out: Rental, before: timedelta, said: tuple[str, str, str]) -> None:
    assert return_words(inverlark, BACK_AT - before) == said


def test_late_since_an_earlier_day_stands_at_the_head(inverlark: Branch, out: Rental) -> None:
    peg = board(inverlark, BACK_DAY + timedelta(days=1), BACK_AT + timedelta(days=1, hours=1)).returns[0]
    assert (peg.place, peg.time, peg.said.lead) == (0, "18 Aug, 11:00", "1 day 1 h late")


def test_return_under_way_counts_lateness_to_the_gate(inverlark: Branch, out: Rental, callum: Person) -> None:
    at = BACK_AT + timedelta(minutes=77)
    start(out, "return", callum, at=at, arrived_at=at)
    now = ("now", "1 h 17 late.", "Walk-round 0 of 2")
    assert return_words(inverlark, at + timedelta(hours=2)) == now


def test_back(inverlark: Branch, back: Rental) -> None:
    assert return_words(inverlark, BACK_AT)[2] == "In, to settle"


def test_counts(inverlark: Branch, out: Rental) -> None:
    RentalFactory(leg=UnitFactory(number="305"))
    day = board(inverlark, OUT_DAY, NINE)
    assert (len(day.pickups), day.gone, day.held, day.late) == (2, 1, 0, 0)


def test_the_days_beside_it(inverlark: Branch, booked: Rental) -> None:
    day = board(inverlark, date(2026, 8, 17), NINE)
    assert (day.after.day, day.after.out, day.after.back) == (BACK_DAY, 0, 1)


def test_times_are_the_branchs_own(as_ida: Client, port_averil: Branch) -> None:
    RentalFactory(branch=port_averil, leg=UnitFactory(number="266", branch=port_averil))
    assert ">06:00</time>" in as_ida.get("/branch/port-averil/2026-08-14/").text


def test_now_stands_on_today_only(as_isla: Client, inverlark: Branch) -> None:
    assert "now-plate" not in as_isla.get(PAGE).text


def test_new_booking_for_who_may_book(as_isla: Client, as_callum: Client) -> None:
    assert "New booking" in as_isla.get(PAGE).text
    assert "New booking" not in as_callum.get(PAGE).text


def test_the_desk_for_who_has_one(as_isla: Client, as_maeve: Client) -> None:
    desk = "/branch/inverlark/desk/"
    assert desk in as_maeve.get(PAGE).text
    assert desk not in as_isla.get(PAGE).text
    assert "Units" in as_maeve.get(desk).text
    assert as_isla.get(desk).status_code == 403


def test_both_branches_for_who_is_posted_to_both(as_maeve: Client) -> None:
    assert '<a class="way" href="/branch/port-averil/2026-08-14/">Port Averil</a>' in as_maeve.get(PAGE).text


def test_an_empty_day_says_so(as_isla: Client) -> None:
    assert "No pickups on this day." in as_isla.get(PAGE).text


def test_another_branch_is_not_there(as_ida: Client, inverlark: Branch) -> None:
    assert as_ida.get(PAGE).status_code == 404


@pytest.mark.parametrize("day", ["2026-02-30", "2026-8-1", "today"])
def test_no_such_day(as_isla: Client, day: str) -> None:
    assert as_isla.get(f"/branch/inverlark/{day}/").status_code == 404


def test_only_shows(as_isla: Client) -> None:
    assert as_isla.post(PAGE).status_code == 405


def test_a_person_without_a_role_sees_nothing(as_isla: Client, isla: Person) -> None:
    Person.objects.filter(pk=isla.pk).update(role="")
    answer = as_isla.get(PAGE)
    assert answer.status_code == 403
    assert "A person without a role cannot do this." in answer.text


def test_utc_is_not_shown(as_isla: Client, booked: Rental) -> None:
    assert booked.planned_out_at == datetime(2026, 8, 14, 9, tzinfo=UTC)
    assert ">09:00</time>" not in as_isla.get(PAGE).text
