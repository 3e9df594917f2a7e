"""I will be late: what it costs by the frozen agreement, and a word to the branch of when it will be."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.core.handlers.wsgi import WSGIRequest
from django.test import Client

from handover.customer.actions.noticing import MOST_IN_AN_HOUR
from handover.customer.models import CustomerLink, LateAnnounced
from handover.photo import uploading
from handover.rental.models import Rental
from shared.ids import uuid7
from shared.ledger.models import Entry, PersonalValue
from shared.ledger.verifying import verify_chain
from tests.customer.conftest import at, key
from tests.factories import BACK_AT, NINE

pytestmark = pytest.mark.django_db
WORDS = "The ferry of nine is full, Maren."
AT_13 = "2026-08-18T13:00"
LATE = {
    "grace_min": 0, "block_min": 60, "rate_per_block": "18.00", "daily_cap": "110.00", "count_from": "end_of_grace",
    "clock": "elapsed",
}  # fmt: skip
ANNOUNCED = "It is announced; the price is by the agreement until the branch confirms more time."


def tell(phone: Client, here: str, back_at: str = AT_13, **said: Any) -> Any:
    return phone.post(f"{here}late/", {**key(), "back_at": back_at, "words": WORDS, **said})


def flat(text: str) -> str:
    """As a browser reads it: any space is one."""
    return " ".join(text.split())


def late_page(phone: Client, here: str) -> str:
    return flat(phone.get(f"{here}late/").text)


def frozen_late(rental: Rental, **late: Any) -> None:
    """The late rules of this rental's own agreement; without any, those of the demo: £18 an hour."""
    rental.frozen["rules"]["late"] = LATE | late  # type: ignore[index]
    rental.save()


def frozen_extra(rental: Rental, **limits: Any) -> None:
    extra = {"name": "1 hour late prepaid", "covers": {"limits": limits}, "price": "15.00"}
    rental.frozen["extras"].append(extra | {"purchased_at": NINE.isoformat()})  # type: ignore[index]
    rental.save()


def test_the_row_says_what_an_hour_costs(phone: Client, here: str, out: Rental) -> None:
    frozen_late(out)
    frozen_extra(out, late_minutes="60")
    text = phone.get(here).text
    assert f'href="{here}late/"' in text
    assert "I will be late<small>say so now: £18.00 an hour, 1 prepaid</small>" in text


@pytest.mark.parametrize("state", ["booked", "pickup", "return", "back", "settled"])
def test_the_row_is_there_while_it_is_out(phone: Client, here: str, out: Rental, state: str) -> None:
    Rental.objects.filter(pk=out.pk).update(state=state)
    assert "I will be late" not in phone.get(here).text
    assert "No later return can be announced here now." in late_page(phone, here)


TERMS: list[tuple[dict[str, Any], dict[str, Any], str, str]] = [
    ({}, {}, "£18.00 an hour", "Each hour begun costs £18.00. Never more than £110.00 in 24 hours."),
    ({"grace_min": 30}, {}, "£18.00 an hour", "The first 30 min are free, and are taken off what is longer."),
    (
        {"grace_min": 30, "count_from": "scheduled"}, {}, "£18.00 an hour",
        "Up to 30 min late is free; what is longer counts from the planned return on. Each hour begun costs £18.00.",
    ),
    ({"block_min": 30}, {}, "£18.00 for each 30 min", "Each 30 min begun cost £18.00."),
    ({"block_min": 30}, {"late_minutes": "60"}, "£18.00 for each 30 min, 2 prepaid",
     "2 × 30 min prepaid: 1 hour late prepaid."),
    ({}, {"late_blocks": 2}, "£18.00 an hour, 2 prepaid", "2 hours are prepaid: 1 hour late prepaid."),
    ({}, {"late_minutes": "60"}, "£18.00 an hour, 1 prepaid", "1 hour is prepaid: 1 hour late prepaid."),
    ({"day_rule": {"from_hours": "4", "rate": "90.00"}}, {}, "£18.00 an hour",
     "From 4 h on the whole day counts: £90.00. Never more than £90.00 in 24 hours."),
    ({"rate_per_block": "0", "daily_cap": None, "day_rule": {"from_hours": "4", "rate": "90.00"}}, {}, "£90.00 a day",
     "From 4 h on the whole day counts: £90.00."),
    ({"after_hours_fee": "25.00"}, {}, "£18.00 an hour", "A drop while the branch is closed costs £25.00."),
    ({"next_booking_cost": True}, {}, "£18.00 an hour",
     "What it costs to move the next customer is charged where there is proof of it."),
    ({"after_hours": "deemed_next_opening", "opening_hours": {"tue": ["08:00", "18:00"]}}, {}, "£18.00 an hour",
     "Keys dropped while the branch is closed count as back at its next opening."),
]  # fmt: skip


@pytest.mark.parametrize(("late", "limits", "row", "sentence"), TERMS)
def test_what_late_costs_is_said(
    phone: Client, here: str, out: Rental, late: dict[str, Any], limits: dict[str, Any], row: str, sentence: str
) -> None:
    frozen_late(out, **late)
    if limits:
        frozen_extra(out, **limits)
    assert f"say so now: {row}</small>" in phone.get(here).text
    assert sentence in late_page(phone, here)


def test_an_agreement_without_a_price_of_lateness(phone: Client, here: str, out: Rental) -> None:
    out.frozen["rules"].pop("late")  # type: ignore[index]
    out.save()
    assert "I will be late<small>say so now</small>" in phone.get(here).text
    text = late_page(phone, here)
    assert "By your agreement coming back late is not charged by the hour." in text
    assert "<b>18 Aug 12:00</b><span> nothing due" in text


def test_rules_that_cannot_be_read_keep_nobody_from_telling(phone: Client, here: str, out: Rental) -> None:
    out.frozen["rules"]["late"] = {"rate_per_block": "much"}  # type: ignore[index]
    out.save()
    assert "I will be late<small>say so now</small>" in phone.get(here).text
    assert "What late costs" not in late_page(phone, here)
    answer = tell(phone, here)
    assert answer.status_code == 302
    assert LateAnnounced.objects.get().due is None
    assert "The price of this time cannot be told here" in late_page(phone, here)


def test_some_times_and_what_they_come_to(phone: Client, here: str, out: Rental) -> None:
    """Due back at 11:00, one hour prepaid: 1 h, 2 h, 3 h and a day, which the cap of £110 ends."""
    frozen_late(out)
    frozen_extra(out, late_minutes="60")
    text = late_page(phone, here)
    assert "Planned return: 18 Aug 11:00." in text
    for time, said in (
        ("18 Aug 12:00", "£18.00, prepaid £18.00, due £0.00"), ("18 Aug 13:00", "£36.00, prepaid £18.00, due £18.00"),
        ("18 Aug 14:00", "£54.00, prepaid £18.00, due £36.00"), ("19 Aug 11:00", "£110.00, prepaid £18.00, due £92.00"),
    ):  # fmt: skip
        assert f"<li><b>{time}</b><span> {said} </span>" in text
    assert "If nothing else changes; the Statement counts." in text
    assert ANNOUNCED in text


def test_once_it_is_late_times_that_are_gone_are_left_out(
    phone: Client, here: str, out: Rental, monkeypatch: pytest.MonkeyPatch
) -> None:
    at(monkeypatch, BACK_AT + timedelta(hours=26, minutes=10))
    text = late_page(phone, here)
    times = [line.split("</b>")[0] for line in text.split("<li><b>")[1:]]
    assert times == ["19 Aug 14:00", "19 Aug 15:00", "19 Aug 16:00", "20 Aug 11:00"]


def test_a_time_is_priced_without_telling_anybody(phone: Client, here: str, out: Rental) -> None:
    frozen_late(out)
    answer = tell(phone, here, look="1")
    assert answer.status_code == 200
    assert "<b>Back 18 Aug 13:00</b>: due £36.00 </p><p>If nothing else changes;" in flat(answer.text)
    assert "Nobody is told yet." in answer.text
    assert WORDS in answer.text
    assert not LateAnnounced.objects.exists()


def test_it_is_kept_and_said_again(phone: Client, here: str, out: Rental, link: CustomerLink) -> None:
    frozen_late(out)
    answer = tell(phone, here)
    assert answer["Location"] == f"{here}late/#said"
    row = LateAnnounced.objects.get()
    assert (row.rental, row.link, row.words, row.due) == (out, link, WORDS, Decimal("36.00"))
    assert (row.planned_back_at, row.back_at) == (BACK_AT, BACK_AT + timedelta(hours=2))
    text = late_page(phone, here)
    assert "<b>Back 18 Aug 13:00</b>: due £36.00" in text
    assert WORDS in text
    assert f'value="{AT_13}"' in text
    assert "you said 18 Aug 13:00, kept 15 Aug 08:00" in phone.get(here).text


def test_nothing_moves_with_it(phone: Client, here: str, out: Rental) -> None:
    tell(phone, here)
    before = out.planned_back_at, out.state
    out.refresh_from_db()
    assert (out.planned_back_at, out.state) == before
    assert not out.extensions.exists()


def test_the_ledger_tells_of_it_without_a_persons_words(phone: Client, here: str, out: Rental) -> None:
    frozen_late(out)
    tell(phone, here)
    entry = Entry.objects.get(kind="customer.late_announced")
    assert (entry.chain, entry.actor, entry.subject) == (out.pk, None, LateAnnounced.objects.get().pk)
    assert '"back_at":"2026-08-18T13:00+01:00"' in entry.payload
    assert '"due":"36.00"' in entry.payload
    assert WORDS not in entry.payload
    assert PersonalValue.objects.filter(value=WORDS).exists()
    assert list(verify_chain(out.pk)) == []


def test_words_may_stay_out(phone: Client, here: str) -> None:
    assert tell(phone, here, words="  ").status_code == 302
    assert LateAnnounced.objects.get().words == ""


def test_sent_again_it_is_kept_once(phone: Client, here: str) -> None:
    once = key()
    for _ in range(2):
        assert tell(phone, here, **once).status_code == 302
    assert LateAnnounced.objects.count() == 1


def test_a_key_of_another_act(phone: Client, here: str) -> None:
    once = key()
    phone.post(f"{here}report/", {**once, "words": "A dent."})
    answer = tell(phone, here, **once)
    assert (answer.status_code, "already sent as something else" in answer.text) == (422, True)


def test_the_last_word_counts_and_can_be_taken_back(phone: Client, here: str) -> None:
    tell(phone, here)
    tell(phone, here, "2026-08-18T12:30")
    assert "you said 18 Aug 12:30" in phone.get(here).text
    assert tell(phone, here, "2026-08-18T11:00").status_code == 302
    assert "you said" not in phone.get(here).text
    assert LateAnnounced.objects.count() == 3
    assert tell(phone, here, "2026-08-18T11:00").status_code == 422


REFUSED = [
    ({"back_at": ""}, "Give the day and the time."),
    ({"back_at": "2026-08-15T07:59"}, "15 Aug 2026 07:59 is past. Give a time to come."),
    ({"back_at": "2026-08-18T10:59"}, "The return is planned for 18 Aug 2026 11:00: by then nothing is late."),
    ({"back_at": "2026-08-18T11:00"}, "The return is planned for 18 Aug 2026 11:00: by then nothing is late."),
    ({"back_at": "2026-09-17T11:01"}, "17 Sept 2026 11:01 is more than 30 days after the planned return."),
    ({"back_at": "9999-12-31T23:59"}, "9999 is no year of a rental."),
    ({"back_at": "2026-08-18"}, "2026-08-18 is no date and time."),
    ({"back_at": "2026-08-18T13:00+09:00"}, "is no date and time."),
    ({"back_at": "18\08\0"}, "is no date and time."),
    ({"back_at": "9" * 5000}, "is no date and time."),
    ({"words": "a\0b"}, "A zero byte is in this text"),
    ({"words": WORDS + "x" * 1000}, "There is room for 1000 letters here; these are 1033."),
    ({"key": ""}, "This form has no key."),
    ({"key": "nothing"}, "key"),
]


@pytest.mark.parametrize(("said", "sentence"), REFUSED)
def test_what_cannot_be_is_a_sentence_and_the_words_stay(
    phone: Client, here: str, said: dict[str, str], sentence: str
) -> None:
    answer = tell(phone, here, **said)
    assert answer.status_code == 422
    assert sentence in answer.text
    assert "words" in said or WORDS in answer.text
    assert not LateAnnounced.objects.exists()


def test_what_cannot_be_stands_at_its_field(phone: Client, here: str) -> None:
    answer = tell(phone, here, "2026-08-18T10:59")
    assert answer.text.count("by then nothing is late") == 1
    assert 'id="id_back_at_error"' in answer.text
    assert 'name="back_at" value="2026-08-18T10:59"' in answer.text
    assert 'aria-invalid="true"' in answer.text
    long = tell(phone, here, words="x" * 1001)
    assert 'aria-describedby="words-hint cannot-be"' in long.text


def test_a_price_is_asked_of_no_time_that_cannot_be(phone: Client, here: str) -> None:
    assert tell(phone, here, "2026-08-18T10:59", look="1").status_code == 422


def test_what_is_back_in_between(phone: Client, here: str, out: Rental) -> None:
    Rental.objects.filter(pk=out.pk).update(state="back")
    answer = tell(phone, here)
    assert answer.status_code == 422
    assert "It is not out on this rental now, so no time was kept." in answer.text
    assert WORDS in answer.text
    assert not LateAnnounced.objects.exists()


def test_a_body_without_end_is_not_read(phone: Client, here: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(uploading, "FIELDS", 100)
    monkeypatch.setattr(WSGIRequest, "_load_post_and_files", lambda request: pytest.fail("the body was read"))
    answer = tell(phone, here, words="x" * 9000)
    assert (answer.status_code, "more here than a form can hold" in answer.text) == (422, True)


def test_a_flood_is_stopped(phone: Client, here: str) -> None:
    for _ in range(MOST_IN_AN_HOUR):
        tell(phone, here)
    answer = tell(phone, here)
    assert answer.status_code == 422
    assert "Many times came in a short while; all are kept, and the last one counts." in answer.text
    assert LateAnnounced.objects.count() == MOST_IN_AN_HOUR


def test_an_hour_that_comes_twice_is_asked_about(
    phone: Client, here: str, out: Rental, link: CustomerLink, monkeypatch: pytest.MonkeyPatch
) -> None:
    Rental.objects.filter(pk=out.pk).update(planned_back_at=datetime(2026, 10, 24, 23, tzinfo=UTC))
    CustomerLink.objects.filter(pk=link.pk).update(expires_at=datetime(2026, 12, 1, tzinfo=UTC))
    at(monkeypatch, datetime(2026, 10, 24, 12, tzinfo=UTC))
    assert "01:30 on 25 October 2026 came twice" in tell(phone, here, "2026-10-25T01:30").text
    assert tell(phone, here, "2026-10-25T01:30", back_at_which="1").status_code == 302
    assert LateAnnounced.objects.get().back_at == datetime(2026, 10, 25, 1, 30, tzinfo=UTC)


def test_another_links_key_or_a_link_that_is_none(phone: Client, here: str) -> None:
    assert phone.post("/c/nothing/late/", {"key": uuid7(), "back_at": AT_13}).status_code == 404
