"""The statement at the counter: lines, Workings, findings, sums."""

import pytest
from django.test import Client

from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.statement.models import Statement
from handover.statement.queries import Finding
from shared.access.models import Person
from shared.ids import uuid7
from tests.factories import BACK_AT, an_act
from tests.pages.conftest import LEFT
from tests.playing import come_back


def page(client: Client, rental: Rental) -> str:
    return client.get(f"/rental/{rental.pk}/statement/").text


def test_not_priced_yet_offers_to(as_callum: Client, back: Rental) -> None:
    text = page(as_callum, back)
    assert "Not priced yet." in text
    assert f'action="/rental/{back.pk}/statement/draw-up/"' in text


def test_not_back_yet_says_so(as_callum: Client, out: Rental) -> None:
    text = page(as_callum, out)
    assert f"{out.number} is out: it is priced once the return is finished." in text
    assert "Price it" not in text


def test_pricing_leads_back_to_it(as_callum: Client, back: Rental) -> None:
    answer = as_callum.post(f"/rental/{back.pk}/statement/draw-up/", {"key": uuid7()})
    assert answer.url == f"/rental/{back.pk}/statement/"
    assert Statement.objects.get().version == 1


def test_pricing_what_is_out_cannot_be(as_callum: Client, out: Rental) -> None:
    answer = as_callum.post(f"/rental/{out.pk}/statement/draw-up/", {"key": uuid7()})
    assert answer.status_code == 422
    assert f"{out.number} is out: finish the return first." in answer.text


@pytest.mark.parametrize(
    "words",
    [
        "<b>Diesel</b><small>31.5 L short</small>",
        '<span class="fu" data-head="Full price">£51.03</span>',
        "<b>− £32.40</b><small>20 L</small>",
        '<span class="du" data-head="Due">£18.63</span>',
        '<span class="none">none</span>',
    ],
)
def test_a_line_has_its_three_amounts(as_callum: Client, priced: Statement, words: str) -> None:
    assert words in page(as_callum, priced.rental)


def test_a_line_has_its_workings(as_callum: Client, priced: Statement) -> None:
    text = page(as_callum, priced.rental)
    assert '<td class="op">−</td><td class="fig">47.5</td><td class="u">L</td>' in text
    assert '<td class="from">came back with, 18 Aug 12:47</td>' in text
    assert '<td class="u">£/L</td><td class="from">Rate card 7, fuel</td>' in text


def test_a_level_has_its_stick_and_who_read_it(as_callum: Client, priced: Statement) -> None:
    text = page(as_callum, priced.rental)
    assert "Diesel: left with 82.0, plus or minus 1.5, came back with 47.5, plus or minus 1.5, of 90 L" in text
    assert "Gauge: Isla Macrae, then Callum Reid" in text


def test_an_opened_kit_names_who_looked(as_callum: Client, priced: Statement) -> None:
    assert "Seal: Callum Reid" in page(as_callum, priced.rental)


def test_the_sums(as_callum: Client, priced: Statement) -> None:
    text = page(as_callum, priced.rental)
    for words in ("Your Extras pay", "VAT in this: £", "Deposit held: £500.00.", " goes back to you."):
        assert words in text


def test_nothing_owed_is_still_a_statement(as_callum: Client, out: Rental, callum: Person) -> None:
    come_back(out, callum, at=BACK_AT, **LEFT | {"odometer": "41300"})
    draw_up(out, act=an_act(callum, at=BACK_AT))
    text = page(as_callum, out)
    assert "Nothing is owed." in text
    assert "Sign £0.00" in text
    assert "No difference: came back with what it left with." in text


def test_an_earlier_version_as_it_was(as_callum: Client, priced: Statement) -> None:
    Statement.objects.create(
        rental=priced.rental, version=2, inputs=priced.inputs, result=priced.result, rules_version="1", digest="0" * 64,
        total=priced.total, currency="GBP", drawn_up_at=BACK_AT, drawn_up_by=priced.drawn_up_by,
    )  # fmt: skip
    text = as_callum.get(f"/rental/{priced.rental_id}/statement/1/").text
    assert "Version 1, as it was." in text
    assert "data-signature" not in text


def test_no_such_version(as_callum: Client, priced: Statement) -> None:
    assert as_callum.get(f"/rental/{priced.rental_id}/statement/9/").status_code == 404


def test_who_may_not_settle_only_reads(as_maeve: Client, priced: Statement) -> None:
    text = page(as_maeve, priced.rental)
    assert "Priced. The return bay has it signed." in text
    assert "data-signature" not in text


def test_pricing_needs_its_right(as_maeve: Client, back: Rental) -> None:
    assert as_maeve.post(f"/rental/{back.pk}/statement/draw-up/", {"key": uuid7()}).status_code == 403


@pytest.mark.parametrize("tail", ["", "1/"])
def test_another_branch_is_not_there(as_ida: Client, priced: Statement, tail: str) -> None:
    assert as_ida.get(f"/rental/{priced.rental_id}/statement/{tail}").status_code == 404


def test_only_shows(as_callum: Client, priced: Statement) -> None:
    assert as_callum.post(f"/rental/{priced.rental_id}/statement/").status_code == 405


@pytest.mark.parametrize(("title", "within"), [("Waste water", "waste water"), ("AUS 32", "AUS 32")])
def test_what_is_free_is_named_within_a_sentence(title: str, within: str) -> None:
    assert Finding(title, "").in_a_sentence == within
