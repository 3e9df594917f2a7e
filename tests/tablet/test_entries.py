"""Entries: each once, each by itself, each under its author."""

from typing import Any

import pytest

from handover.tablet.models import Receipt
from handover.walkround.models import CheckAnswer, Count, Reading, WalkRound
from shared.access.models import Device, Person
from shared.ids import uuid7
from shared.ledger.models import Entry
from tests.tablet.conftest import Tablet, asked, post


def good(tablet: Tablet, walk: WalkRound, **said: Any) -> dict[str, Any]:
    return tablet.says("check", walk, asked(walk, "Floor drain clear"), **{"word": "good", **said})


def test_an_answer_is_written_once_however_often_it_is_sent(two: Tablet, pickup: WalkRound) -> None:
    entry = good(two, pickup)
    assert [two.told(entry) for _ in range(3)] == [["ok"], ["duplicate"], ["duplicate"]]
    assert CheckAnswer.objects.get().pk == Receipt.objects.get().pk
    assert Entry.objects.filter(kind="check.answered").count() == 1


def test_a_response_says_that_it_is_ours(two: Tablet, pickup: WalkRound) -> None:
    answer = post(two.client, "/tablet/entries/", {"device": str(two.device.pk), "entries": []})
    assert answer.headers["X-Outbox-Ack"] == "1"
    assert "no-store" in answer.headers["Cache-Control"]


def test_one_that_cannot_be_blocks_no_other(two: Tablet, pickup: WalkRound) -> None:
    impossible = two.says("reading", pickup, asked(pickup, "gas_front"), typed="90")
    assert two.told(good(two, pickup), impossible, two.says("count", pickup, asked(pickup, "straps"), present="2")) == [
        "ok", "rejected", "ok",
    ]  # fmt: skip
    assert (CheckAnswer.objects.count(), Reading.objects.count(), Count.objects.get().present) == (1, 0, 2)


def test_what_cannot_be_says_why_and_where(two: Tablet, pickup: WalkRound) -> None:
    entry = two.says("reading", pickup, asked(pickup, "gas_front"), typed="90")
    ack = two.answer(entry)
    assert ack["field"] == "typed"
    assert "90" in ack["sentence"]
    receipt = Receipt.objects.get()
    assert (receipt.outcome, receipt.sentence) == ("rejected", ack["sentence"])
    assert '"typed": "90"' in receipt.body
    assert two.answer(entry) == ack


def test_each_kind_through_its_own_door(two: Tablet, pickup: WalkRound) -> None:
    entries = [
        two.says("reading", pickup, asked(pickup, "gas_front"), typed="9.4"),
        two.says("seal", pickup, asked(pickup, "first_aid"), state="broken", used=["bandage", "plasters"]),
        two.says("topic", pickup, asked(pickup, "Gas valves"), outcome="understood", seconds="14"),
        two.says("mark", pickup, kind="scratch", part="door", place="door", size_mm="40", x_mm="-1025", y_mm="2600"),
        two.says("remark", pickup, station=None, text="It rained."),
    ]
    assert two.told(*entries) == ["ok"] * 5
    assert pickup.sealchecks.get().used == ["bandage", "plasters"]
    assert pickup.topicheards.get().seconds == 14
    assert pickup.marks_found.get().size_mm == 40


def test_the_stations_come_back_as_they_are_now_each_once(two: Tablet, pickup: WalkRound) -> None:
    count = two.says("count", pickup, asked(pickup, "straps"), present="2")
    shown = two.send(good(two, pickup), count)["stations"]
    assert [(row["walk"], row["number"]) for row in shown] == [(str(pickup.pk), 2)]
    assert f'data-answer="{count["key"]}"' in shown[0]["html"]
    assert "csrfmiddlewaretoken" not in shown[0]["html"]


def test_a_key_stands_for_one_thing(two: Tablet, pickup: WalkRound) -> None:
    entry = good(two, pickup)
    two.send(entry)
    ack = two.answer({**entry, "fields": {"word": "bad"}})
    assert (ack["status"], ack["sentence"]) == (
        "rejected", "This was already sent as something else. Answer it once more.",
    )  # fmt: skip
    assert CheckAnswer.objects.get().word == "good"


def test_a_key_of_a_plain_form_is_the_same_act(two: Tablet, pickup: WalkRound) -> None:
    entry = good(two, pickup)
    item = asked(pickup, "Floor drain clear")
    two.client.post(f"/walk/{pickup.pk}/station/2/check/{item}/", {"key": entry["key"], "word": "good"})
    assert two.told(entry) == ["ok"]
    assert CheckAnswer.objects.count() == 1


def test_a_number_given_twice_is_refused_and_said_aloud(
    two: Tablet, pickup: WalkRound, caplog: pytest.LogCaptureFixture
) -> None:
    two.send(good(two, pickup))
    ack = two.answer(good(two, pickup, seq=1))
    assert ack["sentence"] == "The tablet numbered this like another answer. Answer it once more."
    assert "gave its number 1 to two entries" in caplog.text
    assert CheckAnswer.objects.count() == 1


def test_what_was_sent_before_is_told_in_the_order_of_its_numbers(two: Tablet, pickup: WalkRound) -> None:
    first, second = good(two, pickup), good(two, pickup, word="bad")
    two.send(second, first)
    assert [row.word for row in CheckAnswer.objects.order_by("at")] == ["good", "bad"]


def test_the_highest_number_without_a_gap(two: Tablet, pickup: WalkRound) -> None:
    one, two_, three = good(two, pickup), good(two, pickup), good(two, pickup)
    assert two.send(one, three)["contiguous_seq"] == 1
    assert two.send(two_)["contiguous_seq"] == 3
    assert two.send()["contiguous_seq"] == 3


def test_a_restored_database_says_that_it_has_less(two: Tablet, pickup: WalkRound) -> None:
    two.send(good(two, pickup))
    Receipt.objects.all().delete()
    Device.objects.update(contiguous_seq=0)
    assert two.send()["contiguous_seq"] == 0


def test_who_told_it_is_its_author_and_who_sent_it_only_sent_it(
    isla: Person, callum: Person, tablet_2: Device, pickup: WalkRound
) -> None:
    """Callum may do no pickup; he may send on what Isla told on the tablet he holds now."""
    tablet = Tablet(tablet_2, isla, relay=callum)
    assert tablet.told(good(tablet, pickup)) == ["ok"]
    assert CheckAnswer.objects.get().by == isla
    assert (Receipt.objects.get().author, Receipt.objects.get().relayed_by) == (isla, callum)
    assert Entry.objects.get(kind="check.answered").device == str(tablet_2.pk)


@pytest.mark.parametrize("claim", ["another person", "no token", "another tablet"])
def test_who_is_not_proven_is_held_for_a_person(
    claim: str, two: Tablet, three: Tablet, ruth: Person, isla: Person, pickup: WalkRound
) -> None:
    said = {
        "another person": {"author": str(ruth.pk)},
        "no token": {"token": ""},
        "another tablet": {"token": Tablet(three.device, isla).says("check", pickup)["token"]},
    }
    ack = two.answer(good(two, pickup, **said[claim]))
    assert ack["status"] == "held"
    assert "is not proven" in ack["sentence"]
    receipt = Receipt.objects.get()
    assert (receipt.author, receipt.branch) == (None, pickup.leg.rental.branch)
    assert not CheckAnswer.objects.exists()


def test_whose_right_is_gone_is_held(two: Tablet, isla: Person, pickup: WalkRound) -> None:
    entry = good(two, pickup)
    Person.objects.filter(pk=isla.pk).update(role="return_bay")
    ack = two.answer(entry)
    assert (ack["status"], ack["sentence"]) == (
        "held", "A return bay cannot do this. Ask someone whose role includes it.",
    )  # fmt: skip


def test_who_no_longer_works_here_tells_nothing_new(
    two: Tablet, isla: Person, callum: Person, pickup: WalkRound
) -> None:
    tablet = Tablet(two.device, isla, relay=callum)
    entry = good(tablet, pickup)
    Person.objects.filter(pk=isla.pk).update(is_active=False)
    assert tablet.told(entry) == ["held"]


def test_a_closed_walk_round_holds(two: Tablet, pickup: WalkRound) -> None:
    WalkRound.objects.update(finished_at=pickup.started_at)
    ack = two.answer(good(two, pickup))
    assert (ack["status"], ack["sentence"]) == (
        "held", "This pickup is signed and closed. What was signed stays as it is.",
    )  # fmt: skip


def test_a_walk_round_of_another_branch_is_not_there(ida: Person, two: Tablet, pickup: WalkRound) -> None:
    tablet = Tablet(two.device, ida)
    entry = good(tablet, pickup)
    ack = tablet.answer(entry)
    assert (ack["status"], ack["sentence"]) == ("held", "There is no such walk-round at your branch.")
    assert tablet.send(entry)["stations"] == []


def test_of_a_walk_round_that_is_not_there_yet_waits_for_what_is_before_it(two: Tablet, pickup: WalkRound) -> None:
    first, late = good(two, pickup), two.says("check", uuid7(), asked(pickup, "Floor drain clear"), word="good")
    assert two.told(late) == ["waiting"]
    assert two.told(first, late) == ["ok", "held"]


def test_a_kind_that_this_version_does_not_know_is_held(two: Tablet, pickup: WalkRound) -> None:
    assert two.told(two.says("weather", pickup)) == ["held"]
    assert Receipt.objects.get().kind == "other"


def test_what_breaks_is_held_and_blocks_nothing(
    two: Tablet, pickup: WalkRound, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    from handover.walkround.told import TOLD

    monkeypatch.setitem(TOLD, "count", lambda walk, told: 1 // 0)
    entry = two.says("count", pickup, asked(pickup, "straps"), present="2")
    assert two.told(entry, good(two, pickup)) == ["held", "ok"]
    assert "ZeroDivisionError" in caplog.text


@pytest.mark.parametrize(
    "wrong",
    [
        {"seq": "one"}, {"seq": -1}, {"seq": True}, {"kind": 3}, {"walk": "x"}, {"walk": None}, {"station": "two"},
        {"item": "x"}, {"fields": ["word"]}, {"fields": {"word": {"a": 1}}}, {"fields": {"word": "\ud800"}},
        {"base": 5}, {"at": "yesterday"}, {"at": "2026-08-14T09:00:00"}, {"author": "isla"}, {"token": None},
        {"walk": {"a": []}}, {"base": []},
    ],
    ids=str,
)  # fmt: skip
def test_a_part_that_cannot_be_read_is_refused_by_itself(wrong: Any, two: Tablet, pickup: WalkRound) -> None:
    entry, after = good(two, pickup), good(two, pickup)
    assert two.told({**entry, **wrong}, after) == ["rejected", "ok"]


@pytest.mark.parametrize("raw", [None, 7, "entry", [], {}, {"key": None}, {"key": "x"}, {"key": {"a": 1}}], ids=str)
def test_without_a_key_nothing_can_be_kept(raw: Any, two: Tablet, pickup: WalkRound) -> None:
    answer = two.send(raw, good(two, pickup))
    assert sorted(ack["status"] for ack in answer["acks"]) == ["ok", "rejected"]


def test_a_zero_byte_is_refused_in_a_sentence(two: Tablet, pickup: WalkRound) -> None:
    count = two.says("count", pickup, asked(pickup, "straps"), present="2\0")
    note = good(two, pickup, note="wet\0")
    acks = two.send(count, note)["acks"]
    assert {ack["status"] for ack in acks} == {"rejected"}
    assert "\0" not in "".join(Receipt.objects.values_list("sentence", flat=True))


def test_more_than_a_batch_holds_is_left_for_the_next(two: Tablet, pickup: WalkRound) -> None:
    entries = [good(two, pickup) for _ in range(52)]
    acks = two.send(*entries)["acks"]
    assert [ack["key"] for ack in acks] == [entry["key"] for entry in entries[:50]]


@pytest.mark.parametrize("sent", [{}, {"entries": {}}, {"device": "x", "entries": []}], ids=str)
def test_what_is_no_batch_is_refused_whole(sent: Any, two: Tablet) -> None:
    answer = post(two.client, "/tablet/entries/", sent)
    assert answer.status_code == 422
    assert "X-Outbox-Ack" not in answer.headers
