"""Holds on pages: at their station, in the look-through, on the rental page, on the day board; and on paper."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from fleet.models import Branch, DueDate, Layout, Unit, UnitKit
from handover.acting import CannotBe
from handover.board.queries import board_of
from handover.record.document import content_from
from handover.record.figures import Writing
from handover.record.page import _facts
from handover.record.walk_rows import station_rows
from handover.rental.due import due_before_return
from handover.rental.models import Rental
from handover.turnaround.ready import let_go
from handover.walkround.models import Hold, WalkRound
from shared.access.models import Person
from tests.factories import NINE, InstrumentFactory, an_act
from tests.playing import read, start
from tests.record.sample import pickup_record
from tests.walkround.conftest import asked, look, press, text_of

ENDS = date(2026, 8, 17)
HELD = {"sentence": "Tread, rear: 1.4 mm is below the legal 1.6 mm.", "put_right": False, "released_by": "Ruth Aldane",
        "reason": "To the tyre trade first.", "released_at": "2026-08-14T10:20:00+01:00"}  # fmt: skip


@pytest.fixture
def unit_407(unit_407: Unit) -> Unit:
    InstrumentFactory(
        station=unit_407.layout.stations.get(number=1), code="tread", name="Tread, rear", instrument="depth gauge",
        measures="tread", unit="mm", capacity=Decimal(9), half_width=Decimal("0.2"),
    )  # fmt: skip
    return unit_407


def expire(unit: Unit, kind: str = "gas") -> DueDate:
    return DueDate.objects.create(unit=unit, kind=kind, due_on=ENDS)


def test_the_station_says_why_in_place_of_the_way_on(pickup: WalkRound, isla: Person) -> None:
    read(pickup, isla, NINE, tread="1.4")
    said = text_of(look(isla, "station", pickup.pk, 1))
    held_by = f"reading-{Hold.objects.get().subject}"
    assert f'id="go" data-part data-held="{held_by}">\n  <p><b>Tread, rear: 1.4 mm is below the legal' in said
    assert "below the legal" not in text_of(look(isla, "station", pickup.pk, 2))


def test_a_manager_releases_it_at_the_station(pickup: WalkRound, isla: Person, ruth: Person) -> None:
    read(pickup, isla, NINE, tread="1.4")
    response = press(ruth, "release-hold", Hold.objects.get().pk, reason="Changed today.")
    assert response["Location"].endswith("/station/1/#go")
    assert Hold.objects.get().released_by == ruth


def test_the_load_is_said_and_released_where_the_walk_begins(booked: Rental, isla: Person, ruth: Person) -> None:
    Layout.objects.update(running_mass_kg=3450)
    walk = start(booked, "pickup", isla)
    assert "Overloaded on paper by 25 kg" in text_of(look(isla, "station", walk.pk, 1))
    assert press(ruth, "release-hold", Hold.objects.get().pk, reason="Weighed.")["Location"].endswith("/station/1/#go")


def test_the_kit_is_said_at_its_own_station(booked: Rental, isla: Person) -> None:
    UnitKit.objects.update(expires_on=ENDS)
    walk = start(booked, "pickup", isla)
    assert "First aid kit: Is due on 17 Aug 2026" in text_of(look(isla, "station", walk.pk, 2))


def test_the_look_through_names_it_and_leads_to_its_station(pickup: WalkRound, isla: Person) -> None:
    read(pickup, isla, NINE, gas_front="12.2")
    said = text_of(look(isla, "sign-walk", pickup.pk))
    assert "more than the 6 kg stamped on it" in said
    assert f'<a href="/walk/{pickup.pk}/station/2/">To its station</a>' in said


def test_the_rental_page_says_it(pickup: WalkRound, isla: Person) -> None:
    read(pickup, isla, NINE, tread="1.4")
    assert "Tread, rear: 1.4 mm is below" in text_of(look(isla, "rental", pickup.leg.rental_id))


@pytest.mark.parametrize(
    ("code", "typed", "words"), [("tread", "1.4", "a tyre is worn"), ("gas_front", "12.2", "a cylinder is too full")]
)
def test_the_day_board_says_what_kind_of_cause(
    pickup: WalkRound, inverlark: Branch, isla: Person, code: str, typed: str, words: str
) -> None:
    read(pickup, isla, NINE, **{code: typed})
    with timezone.override("Europe/London"):
        board = board_of(inverlark, NINE.date(), now=NINE)
    assert f"Held: {words}" in str(board)


def test_a_due_date_is_let_go_by_a_manager_on_the_rental_page(
    booked: Rental, unit_407: Unit, isla: Person, ruth: Person
) -> None:
    expire(unit_407)
    assert "Let it go for" not in text_of(look(isla, "rental", booked.pk))
    said = text_of(look(ruth, "rental", booked.pk))
    assert "have a manager let it go, with a reason" in said
    assert "Let it go for Maren Oduya, with a reason" in said
    assert press(ruth, "let-go", "407", booked.pk, reason="Inspected, paper follows.").status_code == 302
    assert due_before_return(unit_407, booked) is None
    assert start(booked, "pickup", isla)


def test_without_a_reason_it_stays(booked: Rental, unit_407: Unit, isla: Person, ruth: Person) -> None:
    expire(unit_407)
    response = press(ruth, "let-go", "407", booked.pk, reason=" ")
    assert response.status_code == 422
    assert "Say why it may go" in text_of(response)
    with pytest.raises(CannotBe, match="Unit 407 stays: gas inspection is due"):
        start(booked, "pickup", isla)


def test_a_host_lets_nothing_go(booked: Rental, unit_407: Unit, isla: Person) -> None:
    expire(unit_407)
    assert press(isla, "let-go", "407", booked.pk, reason="Looks fine.").status_code == 403


def test_what_falls_due_later_than_the_release_knew_keeps_it(
    booked: Rental, unit_407: Unit, isla: Person, ruth: Person
) -> None:
    expire(unit_407)
    let_go(unit_407, rental=booked, reason="Inspected.", act=an_act(ruth))
    expire(unit_407, "alarms")
    with pytest.raises(CannotBe, match="gas and smoke alarms"):
        start(booked, "pickup", isla)


def test_a_kit_let_go_with_its_due_date_is_not_held_again(
    booked: Rental, unit_407: Unit, isla: Person, ruth: Person
) -> None:
    expire(unit_407, "first_aid")
    UnitKit.objects.update(expires_on=ENDS)
    let_go(unit_407, rental=booked, reason="A new one is in the cab.", act=an_act(ruth))
    start(booked, "pickup", isla)
    assert not Hold.objects.exists()


def test_the_board_of_jobs_says_what_falls_due(booked: Rental, unit_407: Unit, maeve: Person, ruth: Person) -> None:
    expire(unit_407)
    Rental.objects.update(planned_out_at=timezone.now(), planned_back_at=timezone.now() + timedelta(days=3))
    assert "Due before the return" in text_of(look(maeve, "turnaround", "inverlark"))
    let_go(unit_407, rental=booked, reason="Inspected.", act=an_act(ruth))
    assert "Due before the return" not in text_of(look(maeve, "turnaround", "inverlark"))


def a_writing() -> Writing:
    return Writing.of(content_from(pickup_record()).operator)


def test_the_record_prints_the_hold_of_a_reading_and_of_a_kit() -> None:
    document = pickup_record()
    stations = document["walk_rounds"][0]["stations"]
    stations[0]["readings"][0]["hold"] = stations[1]["seals"][0]["hold"] = HELD
    content = content_from(document)
    printed = [row.left[1] for station in station_rows(content, a_writing()) for row in station.rows]
    words = "held: Tread, rear: 1.4 mm is below the legal 1.6 mm. released by Ruth Aldane: To the tyre trade first."
    assert sum(words in beside for beside in printed) == 2


def test_the_record_prints_the_load_and_what_was_let_go() -> None:
    document = pickup_record()
    document["walk_rounds"][0]["overload"] = {**HELD, "sentence": "Overloaded on paper by 25 kg."}
    document["walk_rounds"][0]["let_go"] = {"jobs": [], "due": ["Gas inspection, due on 17 Aug 2026"],
                                            "reason": "Inspected.", "by": "Ruth Aldane",
                                            "at": datetime(2026, 8, 14, 8, tzinfo=UTC).isoformat()}  # fmt: skip
    facts = dict(_facts(content_from(document), a_writing()))
    assert facts["Load at the pickup"].startswith("Overloaded on paper by 25 kg. released by Ruth Aldane: To the")
    assert facts["Let go as it was"].startswith("Gas inspection, due on 17 Aug 2026. Ruth Aldane")


def test_a_tablet_without_a_network_knows_the_limits(pickup: WalkRound, isla: Person) -> None:
    """1.6 mm and the gauge's 0.2; 5.9 + 6 kg, the scale's 0.1 and the tare's 0.05."""
    assert 'data-stop-under="1.8"' in text_of(look(isla, "station", pickup.pk, 1))
    assert 'data-stop-over="12.05"' in text_of(look(isla, "station", pickup.pk, 2))


def test_a_reading_sent_by_script_brings_the_stop_with_it(pickup: WalkRound, isla: Person) -> None:
    response = press(isla, "take-reading", pickup.pk, 1, asked(pickup, "tread"), typed="1.4", htmx=True)
    assert 'id="go" data-part data-held="reading-' in text_of(response)
