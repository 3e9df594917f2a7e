"""What comes out: units and what is free, statements with their steps, records, money."""

import json
from datetime import date
from typing import Any

import pytest

from fleet.models import DueDate, Unit
from handover.api.models import ApiToken
from handover.record.models import Record
from handover.rental.models import Rental
from handover.settlement.models import Movement
from handover.statement.actions import draw_up
from handover.statement.models import Statement
from shared.access.models import Person
from shared.files.store import keep
from tests.api.made import Program
from tests.factories import BACK_AT, NINE, ExtraOfferFactory, RentalFactory, UnitFactory, an_act
from tests.playing import come_back, go

WHEN = "branch=inverlark&out_at={}T10:00:00Z&back_at={}T10:00:00Z"


def free(program: Program, out: str, back: str) -> dict[str, Any]:
    rows = program.get("/availability?" + WHEN.format(out, back)).json()["units"]
    return {row["number"]: row for row in rows}


def test_what_is_free_and_why_the_rest_is_not(program: Program, booked: Rental):
    DueDate.objects.create(unit=UnitFactory(number="305"), kind="gas", due_on=date(2026, 8, 17))
    UnitFactory(number="306", retired=True)
    UnitFactory(number="307")
    rows = free(program, "2026-08-15", "2026-08-17")
    assert {number: row["free"] for number, row in rows.items()} == {"305": False, "307": True, "407": False}
    assert rows["305"]["due"] == [{"kind": "gas", "due_on": "2026-08-17"}]
    assert rows["407"]["taken"][0]["planned_out_at"] == "2026-08-14T09:00:00Z"
    assert "LK" not in json.dumps(rows)


def test_one_that_ends_as_the_other_begins_does_not_take_it(program: Program, booked: Rental):
    assert free(program, "2026-08-18", "2026-08-20")["407"]["free"]


def test_what_is_free_is_what_can_be_booked(program: Program, booking: dict[str, Any]):
    """The same question by the list and by the action."""
    assert free(program, "2026-08-14", "2026-08-18")["407"]["free"]
    assert program.post("/bookings", booking).status_code == 201
    assert not free(program, "2026-08-14", "2026-08-18")["407"]["free"]
    again = program.post("/bookings", booking | {"reference": "B-2"}, key="other")
    assert again.json()["errors"][0]["pointer"] == "/unit"


@pytest.mark.parametrize("query", ["&layout=other", ""])
def test_of_one_layout(program: Program, unit_407: Unit, query: str):
    rows = program.get("/availability?" + WHEN.format("2026-08-15", "2026-08-17") + query).json()["units"]
    assert len(rows) == (0 if query else 1)


def test_a_stretch_that_ends_before_it_begins(program: Program):
    answer = program.get("/availability?" + WHEN.format("2026-08-18", "2026-08-17"))
    assert answer.status_code == 422
    assert answer.json()["detail"].startswith("The return lies before the pickup.")


def test_availability_in_a_fixed_number_of_queries(program: Program, unit_407: Unit, django_assert_num_queries: Any):
    program.get("/units")
    for number in ("305", "306"):
        RentalFactory(leg=UnitFactory(number=number))
    with django_assert_num_queries(8):  # token, use (2), branches, branch, units, due dates, legs
        free(program, "2026-08-15", "2026-08-17")


@pytest.fixture
def priced(isla: Person, callum: Person) -> Statement:
    """31.5 L and 2.4 kg short, the first aid kit opened, 1 h 47 late; 20 L prepaid."""
    rental = RentalFactory(leg=UnitFactory(odometer_km=41_000), extras=[ExtraOfferFactory()])
    go(rental, isla, diesel="82", gas_front="11.7", odometer="41206")
    come_back(rental, callum, seal="broken", diesel="47.5", gas_front="9.1", odometer="42018")
    return draw_up(rental, act=an_act(callum, at=BACK_AT))


def test_a_statement_comes_with_every_step(program: Program, priced: Statement):
    (short,) = program.get(f"/rentals/{priced.rental_id}/statements").json()
    assert (short["version"], short["settled"], short["total"]) == (1, False, f"{priced.total:.2f}")
    whole = program.get(short["href"].removeprefix("/api/v1")).json()
    fuel = next(line for line in whole["lines"] if line["code"] == "FUEL")
    assert (fuel["title"], fuel["raw"], fuel["covered"], fuel["amount"]) == ("Diesel", "51.03", "32.40", "18.63")
    assert [step["quantity"] for step in fuel["steps"]] == [
        "82.0", "47.5", "34.5", "3.0", "31.5", "1.62", "51.03", "32.40", "18.63"
    ]  # fmt: skip
    kept = json.loads(priced.result)
    assert [line["steps"] for line in whole["lines"]] == [workings["steps"] for workings in kept["workings"]]
    assert whole["totals"] == kept["totals"]


def test_statements_speak_the_house_language(program: Program, priced: Statement):
    german = program.get(f"/statements/{priced.pk}", accept_language="de")
    assert german.content == program.get(f"/statements/{priced.pk}").content


def test_settled_and_not(program: Program, priced: Statement):
    assert len(program.get("/statements?settled=false").json()["items"]) == 1
    assert program.get("/statements?settled=true").json()["items"] == []


def test_a_record_and_its_file(program: Program, booked: Rental):
    pdf = keep(b"%PDF-1.7 a record", suffix=".pdf")
    told = {"kind": "pickup", "code": "7Q4M-2KXD", "made_at": NINE, "state": "ready", "file": pdf.name}
    row = Record.objects.create(rental=booked, leg=booked.legs.get(), size=pdf.size, pdf_sha256=pdf.sha256, **told)
    (known,) = program.get(f"/rentals/{booked.pk}/records").json()
    assert (known["pdf_sha256"], known["size"]) == (pdf.sha256, 17)
    answer = program.get(known["pdf"].removeprefix("/api/v1"))
    assert (answer.content, answer["Content-Type"]) == (b"%PDF-1.7 a record", "application/pdf")
    assert "attachment" in answer["Content-Disposition"]
    again = program.get(known["pdf"].removeprefix("/api/v1"), if_none_match=answer["ETag"])
    assert (again.status_code, again.content) == (304, b"")
    Record.objects.filter(pk=row.pk).update(file=f"ab/cd/abcd{'0' * 60}.pdf")
    assert program.get(known["pdf"].removeprefix("/api/v1")).status_code == 404


@pytest.fixture
def held(booked: Rental, isla: Person) -> Movement:
    said = {"kind": "held", "method": "card", "amount": 500, "currency": "GBP", "reference": "A1"}
    return Movement.objects.create(rental=booked, at=NINE, by=isla, expires_on=date(2099, 1, 1), **said)


def test_money_that_moved(program: Program, held: Movement):
    (row,) = program.get("/movements?branch=inverlark").json()["items"]
    assert (row["kind"], row["amount"], row["rental"]) == ("held", "500.00", held.rental.number)
    assert program.get("/movements?moved_from=2026-08-15T00:00:00Z").json()["items"] == []


def test_where_the_money_of_a_rental_stands(program: Program, held: Movement):
    stands = program.get(f"/rentals/{held.rental_id}/settlement").json()
    assert (stands["held"], stands["received"], stands["owed"], stands["gap"]) == ("500.00", "0.00", None, None)


def test_the_export_is_that_of_the_page(program: Program, held: Movement, ruth: Person):
    days = "from=2026-08-01&to=2026-08-31"
    program.client.force_login(ruth)
    page = program.client.get("/branch/inverlark/settlements/export/?start=2026-08-01&end=2026-08-31&format=json")
    program.client.logout()
    assert program.get(f"/settlements/export?branch=inverlark&{days}").json() == page.json()


def test_customers_are_not_named(program: Program, booked: Rental, token: ApiToken):
    for path in ("/rentals", f"/rentals/{booked.pk}", "/units", "/movements", "/records", "/statements"):
        text = program.get(path).content.decode()
        assert "Oduya" not in text
        assert "maren@" not in text
