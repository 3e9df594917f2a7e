"""Sentences, figures and places of the printed page."""

from datetime import UTC, date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from handover.record.content import RecordContent
from handover.record.document import content_from
from handover.record.figures import Writing, digest_groups, figure, language_name, quantity
from handover.record.marks import plan_svg
from handover.record.page import marks_beside, page_context, qr_svg, shown_address
from handover.record.photo_rows import photo_rows
from handover.record.sentences import (
    deposit_sentence,
    odometer_sentence,
    photos_sentence,
    tax_sentence,
    topics_sentence,
)
from handover.record.statement_rows import statement_print
from tests.record import sample

POUNDS = Writing("GBP", "en_GB", ZoneInfo("Europe/London"))
KEYS = {"by": "Callum Reid", "at": "2026-08-17T08:05:00+01:00", "arrived_until": "2026-08-17T08:00:00+01:00"}


def returned(**parts) -> RecordContent:
    return content_from(sample.return_record() | parts)


@pytest.mark.parametrize(
    ("number", "text"),
    [
        ("41206", "41\u202f206"),
        ("82.0", "82.0"),
        ("-3.50", "− 3.50"),
        ("0", "0"),
        ("1234567.8", "1\u202f234\u202f567.8"),
    ],
)
def test_figures_keep_their_digits(number, text):
    assert figure(Decimal(number)) == text


def test_an_absent_quantity_is_a_word():
    assert quantity(None, "L") == "not read"
    assert quantity(Decimal("0"), "L") == "0 L"


@pytest.mark.parametrize(
    ("currency", "amount", "text"),
    [("GBP", "51.025", "51.03"), ("JPY", "1051", "1\u202f051"), ("GBP", "-32.4", "− 32.40")],
)
def test_amounts_of_a_column_have_the_currencys_digits(currency, amount, text):
    assert Writing(currency, "en_GB", ZoneInfo("UTC")).amount(Decimal(amount)) == text


def test_times_are_the_branchs():
    noon = datetime(2026, 8, 18, 11, 0, tzinfo=UTC)
    assert POUNDS.moment(noon) == "Tue 18 Aug 2026, 12:00"
    assert POUNDS.short(noon) == "18 Aug 12:00"
    assert POUNDS.clock(None) == ""


def test_a_day_of_this_year_needs_no_year():
    assert POUNDS.day(date(2026, 4, 4), this_year=2026) == "4 Apr"
    assert POUNDS.day(date(2025, 4, 4), this_year=2026) == "4 Apr 2025"


@pytest.mark.parametrize(
    ("tag", "name"), [("en", "English"), ("de-CH", "German"), ("zh-Hant", "Chinese"), ("x!", "x!")]
)
def test_languages_have_names(tag, name):
    assert language_name(tag) == name


def test_a_digest_is_read_in_fours():
    assert digest_groups("9f3c07aa51de4b80ffff", 16) == "9f3c 07aa 51de 4b80"


def test_topics_are_counted_and_the_skipped_named():
    assert topics_sentence(returned()) == (
        "9 safety topics",
        "were confirmed one by one in English; 1 other topic was skipped: Radio.",
    )


def test_a_declined_safety_topic_is_named():
    document = sample.return_record()
    document["walk_rounds"][0]["stations"][1]["topics"][0]["outcome"] = "declined"
    bold, rest = topics_sentence(content_from(document))
    assert bold == "8 safety topics"
    assert "not confirmed: Gas off and leak drill;" in rest


def test_no_topics_are_not_passed_over():
    document = sample.return_record()
    for walk in document["walk_rounds"]:
        walk["stations"][1]["topics"] = []
    assert topics_sentence(content_from(document))[0] == "No topics"


def test_photos_are_counted():
    assert photos_sentence(returned())[0] == "3 photos"


@pytest.mark.parametrize(
    ("out", "back", "said"),
    [
        ("41206", "42018", "41\u202f206 to 42\u202f018: 812 mi"),
        ("41206", None, "41\u202f206 to not read"),
        (None, "42018", "not read when it left"),
    ],
)
def test_the_odometer_is_said(out, back, said):
    rental = sample.RENTAL | {"odometer_out": out, "odometer_back": back}
    assert odometer_sentence(returned(rental=rental)) == said


def totals(**changed: str):
    statement = sample.STATEMENT | {"totals": sample.STATEMENT["totals"] | changed}
    return returned(statement=statement).statement.totals


def test_tax_is_in_it_or_added():
    assert tax_sentence(totals(), POUNDS) == "VAT of £10.11 is in it."
    assert tax_sentence(totals(tax_mode="exclusive"), POUNDS) == "VAT of £10.11 is added to the lines."


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({}, "Deposit £500.00: £339.37 returned to the card that paid."),
        ({"balance_due": "12.00", "deposit_released": "0.00"}, "Deposit £500.00 kept: £12.00 to pay "),
        ({"balance_due": "12.00", "deposit_held": "0.00"}, " £12.00 to pay "),
        ({"refund_due": "20.00"}, "Deposit £500.00 returned, and £20.00 paid back "),
        ({"deposit_held": "0.00"}, "  "),
    ],
)
def test_the_deposit_is_set_against_the_sum(changed, said):
    assert " ".join(deposit_sentence(totals(**changed), POUNDS)) == said


def test_cover_has_its_minus_or_says_none():
    lines = statement_print(returned().statement, POUNDS).lines
    assert [line.covered for line in lines] == ["− 32.40", "− 14.16", "none", "− 18.00", "− 40.00"]


def test_the_sum_of_the_statement_is_printed():
    printed = statement_print(returned().statement, POUNDS)
    assert (printed.raw, printed.covered, printed.total) == ("265.19", "− 104.56", "160.63")
    assert printed.no_charge.startswith("No charge: rear gas cylinder; AUS 32")


def test_what_is_not_charged_stands_beside_its_reason():
    statement = sample.STATEMENT | {"no_charge": ["AUS 32", "battery"], "findings": ["No difference."]}
    printed = statement_print(returned(statement=statement).statement, POUNDS)
    assert printed.findings == (("AUS 32", "No difference."), ("battery", ""))


@pytest.mark.parametrize(("instruments", "closer"), [(8, False), (9, True)])
def test_many_instruments_stand_closer(instruments, closer):
    document = sample.pickup_record()
    first = document["walk_rounds"][0]["stations"][0]["readings"][0]
    rows = [first | {"code": str(number)} for number in range(instruments)]
    document["walk_rounds"][0]["stations"][0]["readings"] = rows
    assert page_context(content_from(document), plan="")["levels_many"] is closer


def test_the_same_view_stands_in_one_row():
    content = returned()
    rows = photo_rows(content, POUNDS)
    assert [(left.number if left else None, right.number) for left, right in rows] == [(9, 21), (None, 22)]


def test_photos_of_a_pickup_stand_two_by_two():
    document = sample.pickup_record()
    document["walk_rounds"][0]["photos"] *= 3
    rows = photo_rows(content_from(document), POUNDS)
    assert [tuple(cell is not None for cell in row) for row in rows] == [(True, True), (True, False)]


@pytest.mark.parametrize(
    ("url", "shown"),
    [
        ("https://levelpeg.example/v", "levelpeg.example/v"),
        ("http://127.0.0.1:8000/check/LK-20418/7Q4M-2KXD/", "127.0.0.1:8000/check"),
    ],
)
def test_the_address_can_be_typed(url, shown):
    heading = sample.return_record()["record"] | {"page_url": url}
    assert shown_address(returned(record=heading).record) == shown


def test_the_qr_code_is_the_same_each_time():
    assert qr_svg("https://levelpeg.example/v") == qr_svg("https://levelpeg.example/v")
    assert "<svg" in qr_svg("https://levelpeg.example/v")


def test_new_marks_are_filled_and_known_ones_are_rings():
    svg = plan_svg(sample.PLAN, returned().marks)
    assert svg.count('fill="#fff" stroke="#8b3a0e"') == 3
    assert svg.count('fill="#8b3a0e" stroke="#8b3a0e"') == 1


def test_without_a_drawing_there_is_no_plan():
    assert plan_svg("", returned().marks) == ""


def test_new_marks_come_first_beside_the_plan():
    marks = [sample.mark(number, "chip", "2026-04-04", "1", "1") for number in range(1, 30)]
    marks.append(sample.mark(31, "dent", "2026-08-18", "1", "1", line=5))
    beside = marks_beside(returned(marks=marks).marks)
    assert [mark.number for mark in beside] == [1, 2, 3, 4, 5, 6, 7, 8, 31]


def test_a_refused_signature_says_why():
    refused = sample.signature("Maren Oduya", "", "statement 1", sample.BACK)
    refused |= {"outcome": "refused", "reason": "disputes line 5"}
    (cell,) = page_context(returned(signatures=[refused]), plan="")["signed"][0]
    assert cell.without == "refused to sign: disputes line 5"
    assert not cell.drawing


def test_a_charged_line_is_not_named_as_free():
    statement = sample.STATEMENT | {"no_charge": ["Diesel", "AUS 32"], "findings": ["Little used.", "No difference."]}
    assert statement_print(returned(statement=statement).statement, POUNDS).no_charge == "No charge: AUS 32."


def dropped() -> RecordContent:
    document = sample.return_record()
    document["walk_rounds"][1] |= {"mode": "key_drop", "keys": KEYS}
    lines = [line | {"found_alone": line["code"] != "LATE"} for line in document["statement"]["lines"]]
    document["statement"] = document["statement"] | {"objection_until": "2026-08-31", "lines": lines}
    return content_from(document)


def test_a_key_drop_says_who_found_the_keys_and_between_when_it_came():
    walked = [walk for walk, _ in page_context(dropped(), plan="")["walks"]][1]
    assert walked.endswith(
        "after a key drop, keys found by Callum Reid, Mon 17 Aug 2026, 08:05, "
        "came not later than Mon 17 Aug 2026, 08:00."
    )


def test_what_was_keyed_in_from_paper_says_so_and_by_whom():
    document = sample.return_record()
    sheet = {"number": 12, "keyed_in_by": "Isla Macrae", "keyed_in_at": "2026-08-15T09:00:00+01:00", "lost": ""}
    document["walk_rounds"][0]["paper"] = sheet
    document["walk_rounds"][1]["paper"] = sheet | {"number": 13, "lost": "Blown off the counter."}
    out, back = [walk for walk, _ in page_context(content_from(document), plan="")["walks"]]
    assert out.endswith("with the customer, keyed in from paper sheet 12 by Isla Macrae, Sat 15 Aug 2026, 09:00.")
    assert back.endswith(
        "with the customer, paper sheet 13 is lost (Blown off the counter.): said by Isla Macrae, "
        "Sat 15 Aug 2026, 09:00."
    )


def test_lines_found_without_the_customer_say_so_and_until_when_one_can_object():
    statement = page_context(dropped(), plan="")["statement"]
    attended = [line.title for line in statement.lines if not line.summary.endswith("; customer not present")]
    assert attended == ["Late return"]
    assert statement.open_to_objection == "The customer was not present and can object until 31 Aug 2026."


def test_with_the_customer_no_line_says_that_they_were_not_there():
    statement = page_context(returned(), plan="")["statement"]
    assert not any("not present" in line.summary for line in statement.lines)
    assert statement.open_to_objection == ""


def test_a_mark_stands_in_the_ring_of_its_last_tap():
    document = sample.return_record()
    taps = [{"mark": 4, "x": 100, "y": 100}, {"mark": 9, "x": 800, "y": 200}, {"mark": 4, "x": 250, "y": 600}]
    document["walk_rounds"][1]["photos"][0]["points"] = taps
    _, cell = photo_rows(content_from(document), POUNDS)[0]
    assert cell.place == "station 3, mark 4 in the ring, mark 9 in the ring"
    assert [(ring.mark, ring.x) for ring in cell.rings] == [(4, 250), (9, 800)]
