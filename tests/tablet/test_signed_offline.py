"""Signed on a tablet without a network: bound to what it showed, and what stands otherwise is said everywhere."""

import json
from typing import Any

import pytest
from django.http import HttpResponse

from handover.record.models import Record
from handover.record.writing import record_document
from handover.rental.models import Rental
from handover.statement.models import Signature
from handover.tablet.models import Receipt
from handover.walkround.models import ShownOffline, WalkRound
from shared.access.models import Person
from shared.canonical import canonical_text, digest, sha256_hex
from shared.ledger.models import Entry
from tests.playing import STROKES
from tests.tablet.conftest import Tablet, asked, signed_in

DRAWN = json.dumps(STROKES)


@pytest.fixture
def heard(two: Tablet, pickup: WalkRound) -> dict[str, Any]:
    """The safety Topic is understood and two straps are counted, both on tablet 2."""
    topic = two.says("topic", pickup, asked(pickup, "Gas valves"), outcome="understood")
    straps = two.says("count", pickup, asked(pickup, "straps"), present="2")
    two.send(topic, straps)
    return {"topic": topic["key"], "count": straps["key"]}


def showing(walk: WalkRound, heard: dict[str, Any], **said: Any) -> dict[str, Any]:
    """What tablet 2 shows: both answers, in the client's own shape."""
    straps, gas = f"count-{asked(walk, 'straps')}", f"topic-{asked(walk, 'Gas valves')}"
    rows = [
        {"part": straps, "what": "Straps", "said": "2", "answer": heard["count"]},
        {"part": gas, "what": "Gas valves", "said": "understood", "answer": heard["topic"]},
    ]
    stations = [{"number": 1, "name": "Filler", "rows": []}, {"number": 2, "name": "Gas locker", "rows": rows}]
    return {"walk": str(walk.pk), "unit": "Unit 407", "stations": stations, "remark": "", "photos": [], **said}


def hand_over(tablet: Tablet, walk: WalkRound, document: dict[str, Any], **said: Any) -> dict[str, Any]:
    text = canonical_text({**document, "at": "2026-08-14T08:30:00.000Z"})
    fields = {
        "name_customer": "Maren Oduya", "strokes_customer": DRAWN, "strokes_staff": DRAWN, "shown": text,
        "shown_sha256": digest(document), **said,
    }  # fmt: skip
    return tablet.says("hand-over", walk, station=None, fields=fields)


def test_it_ends_the_pickup_and_is_bound_to_what_was_shown(two: Tablet, pickup: WalkRound, heard: Any) -> None:
    entry = hand_over(two, pickup, showing(pickup, heard))
    answer = two.send(entry)
    assert answer["acks"][0]["status"] == "ok"
    assert answer["ends"] == [{"walk": str(pickup.pk), "address": f"/rental/{pickup.leg.rental_id}/"}]
    shown = ShownOffline.objects.get()
    assert shown.digest == sha256_hex(entry["fields"]["shown"].encode())
    assert {row.content_sha256 for row in Signature.objects.all()} == {shown.digest}
    assert [row.role for row in Signature.objects.all()] == ["customer", "staff"]
    assert shown.differences == []
    assert Rental.objects.get().state == "out"


def test_sent_again_it_signs_nothing_twice(two: Tablet, pickup: WalkRound, heard: Any) -> None:
    entry = hand_over(two, pickup, showing(pickup, heard))
    assert [two.told(entry) for _ in range(2)] == [["ok"], ["duplicate"]]
    assert Signature.objects.count() == 2
    assert Entry.objects.filter(kind="walk.shown_offline").count() == 1


@pytest.fixture
def differing(two: Tablet, three: Tablet, pickup: WalkRound, heard: Any) -> WalkRound:
    """While tablet 2 was away, tablet 3 counted one strap and looked at the drain."""
    document = showing(pickup, heard)
    three.send(
        three.says("count", pickup, asked(pickup, "straps"), present="1", base=heard["count"]),
        three.says("check", pickup, asked(pickup, "Floor drain clear"), word="bad"),
    )
    assert two.told(hand_over(two, pickup, document)) == ["ok"]
    return WalkRound.objects.get()


def test_what_stands_otherwise_is_kept_beside_it(differing: WalkRound, heard: Any) -> None:
    rows = {row["what"]: row for row in ShownOffline.objects.get().differences}
    assert set(rows) == {"Straps", "Floor drain clear"}
    assert (rows["Straps"]["said"], rows["Straps"]["shown"]) == ("2", heard["count"])
    assert (rows["Floor drain clear"]["shown"], rows["Floor drain clear"]["station"]) == ("", 2)
    payload = json.loads(Entry.objects.get(kind="walk.shown_offline").payload)
    assert set(payload["differences"][0]) == {"part", "shown", "stands"}


def test_the_rental_page_says_so(differing: WalkRound, isla: Person) -> None:
    shown = signed_in(isla).get(f"/rental/{differing.leg.rental_id}/").content.decode()
    assert "Pickup signed without a signal." in shown
    assert "Straps, station 2 <small>signed as: 2</small>" in shown
    assert "Floor drain clear, station 2 <small>open or not there when it was signed</small>" in shown


def test_the_record_says_so(differing: WalkRound) -> None:
    document, _, _ = record_document(Record.objects.get())
    told = document["walk_rounds"][0]["shown_offline"]
    assert told["sha256"] == ShownOffline.objects.get().digest
    assert {"station": 2, "what": "Straps", "shown": "2"} in told["differences"]


def test_the_printed_record_marks_the_rows(differing: WalkRound) -> None:
    from handover.record.document import content_from
    from handover.record.figures import Writing
    from handover.record.page import page_context
    from handover.record.walk_rows import station_rows

    document, plan, _ = record_document(Record.objects.get())
    content = content_from(document)
    rows = {row.what: row.left[1] for rows in station_rows(content, Writing.of(content.operator)) for row in rows.rows}
    assert rows["Straps"].endswith("not on what was signed")
    assert "not on what was signed" not in rows["Gas valves (safety topic)"]
    facts = dict(page_context(content, plan=plan)["facts"])
    said = facts["Pickup signed without a network"]
    assert said.startswith("Not on what was signed: ")
    assert "Straps (signed as: 2)" in said


def test_another_answer_that_says_the_same_is_no_difference(
    two: Tablet, three: Tablet, pickup: WalkRound, heard: Any
) -> None:
    three.send(three.says("count", pickup, asked(pickup, "straps"), present="2", base=heard["count"]))
    two.send(hand_over(two, pickup, showing(pickup, heard)))
    assert ShownOffline.objects.get().differences == []


def test_what_one_press_gave_a_whole_station_is_known_by_the_press(
    two: Tablet, pickup: WalkRound, heard: Any, isla: Person
) -> None:
    from uuid import UUID, uuid5

    from django.utils import timezone

    from handover.walkround.models import CheckAnswer

    press, drain = "01990000-0000-7000-8000-00000000000b", asked(pickup, "Floor drain clear")
    CheckAnswer.objects.create(
        id=uuid5(UUID(press), str(drain)),
        walk=pickup,
        item_id=drain,
        word="good",
        in_bulk=True,
        at=timezone.now(),
        by=isla,
    )
    document = showing(pickup, heard)
    document["stations"][1]["rows"].append(
        {"part": f"check-{drain}", "what": "Drain", "said": "Clear", "answer": press}
    )
    two.send(hand_over(two, pickup, document))
    assert ShownOffline.objects.get().differences == []


def test_marks_photos_and_words_that_were_not_shown(two: Tablet, three: Tablet, pickup: WalkRound, heard: Any) -> None:
    scratch = {"kind": "scratch", "part": "door", "place": "door", "size_mm": "40", "x_mm": "-1025", "y_mm": "2600"}
    three.send(three.says("mark", pickup, **scratch), three.says("remark", pickup, station=None, text="Rain."))
    two.send(hand_over(two, pickup, showing(pickup, heard, photos=["ab" * 32])))
    parts = [row["part"].partition("-")[0] for row in ShownOffline.objects.get().differences]
    assert sorted(parts) == ["mark", "photo", "said"]


def test_a_mark_that_was_shown(two: Tablet, pickup: WalkRound, heard: Any) -> None:
    scratch = {"kind": "scratch", "part": "door", "place": "door", "size_mm": "40", "x_mm": "-1025", "y_mm": "2600"}
    entry = two.says("mark", pickup, **scratch)
    document = showing(pickup, heard)
    row = {"part": f"mark-{entry['key']}", "what": "Scratch", "said": "", "answer": entry["key"]}
    document["stations"][1]["rows"].append(row)
    assert two.told(entry, hand_over(two, pickup, document)) == ["ok", "ok"]
    assert ShownOffline.objects.get().differences == []


def test_it_waits_for_what_was_told_before_it(two: Tablet, pickup: WalkRound, heard: Any) -> None:
    check = two.says("check", pickup, asked(pickup, "Floor drain clear"), word="good")
    entry = hand_over(two, pickup, showing(pickup, heard))
    assert two.told(entry) == ["waiting"]
    assert not Signature.objects.exists()
    two.send(check)
    assert two.told(entry) == ["ok"]


def test_what_stands_in_the_way_holds_it_for_a_person(
    two: Tablet, three: Tablet, ruth: Person, pickup: WalkRound, heard: Any
) -> None:
    """The customer is gone: nobody signs again. Released, it is tried again and the pickup ends."""
    smell = three.says("check", pickup, asked(pickup, "Smell of gas"), word="bad")
    three.send(smell)
    ack = two.answer(hand_over(two, pickup, showing(pickup, heard)))
    assert ack["status"] == "held"
    assert "this unit stays" in ack["sentence"]
    three.send(three.says("release", pickup, asked(pickup, "Smell of gas"), reason="Hose changed"))
    answer = _try_again(ruth, Receipt.objects.get(outcome="held"))
    assert answer.status_code == 302
    assert WalkRound.objects.get().finished_at is not None
    assert [row["what"] for row in ShownOffline.objects.get().differences] == ["Smell of gas"]


def _try_again(person: Person, receipt: Receipt) -> HttpResponse:
    from shared.ids import uuid7

    sent = {"key": str(uuid7()), "receipt": str(receipt.pk)}
    return signed_in(person).post("/tablet/held/try/", sent)  # type: ignore[return-value]


@pytest.mark.parametrize(
    "shown",
    [
        "", "{", "[]", "null", "{}", '{"b":1,"a":2}', '{"walk":"01990000-0000-7000-8000-00000000000c"}',
        '{"photos":[],"remark":"","stations":[{"name":"x","number":"2","rows":[]}],"unit":"","walk":"WALK"}',
        '{"photos":[7],"remark":"","stations":[],"unit":"","walk":"WALK"}',
        '{"photos":[],"remark":"","stations":[{"number":1,"rows":["x"]}],"unit":"","walk":"WALK"}',
        "[" * 5000, '{"n":1e400}',
    ],
    ids=lambda text: text[:40],
)  # fmt: skip
def test_what_was_shown_and_did_not_arrive_whole_is_held(
    shown: str, two: Tablet, pickup: WalkRound, heard: Any
) -> None:
    entry = hand_over(two, pickup, showing(pickup, heard), shown=shown.replace("WALK", str(pickup.pk)), shown_sha256="")
    ack = two.answer(entry)
    assert (ack["status"], ack["sentence"]) == (
        "held", "What was shown when it was signed did not arrive whole. Sign again.",
    )  # fmt: skip
    assert not Signature.objects.exists()


def test_strokes_drawn_under_something_else_are_held(two: Tablet, pickup: WalkRound, heard: Any) -> None:
    ack = two.answer(hand_over(two, pickup, showing(pickup, heard), shown_sha256="0" * 64))
    assert (ack["status"], ack["field"]) == ("held", "")
    assert ack["sentence"].startswith("Something was changed while it was signed.")


def test_our_own_page_is_signed_by_its_digest(two: Tablet, pickup: WalkRound, heard: Any) -> None:
    from handover.walkround.document import shown_digest

    fields = {"name_customer": "Maren", "strokes_customer": DRAWN, "strokes_staff": DRAWN}
    stale = two.says("hand-over", pickup, station=None, fields={**fields, "seen_sha256": "0" * 64})
    assert two.answer(stale)["status"] == "rejected"
    fresh = two.says("hand-over", pickup, station=None, fields={**fields, "seen_sha256": shown_digest(pickup)})
    assert two.told(fresh) == ["ok"]
    assert not ShownOffline.objects.exists()


def test_half_of_each_signs_nothing(two: Tablet, pickup: WalkRound, heard: Any, isla: Person) -> None:
    """The customer under the tablet's own page and the host under ours is no pickup signed by both."""
    from handover.acting import CannotBe
    from handover.walkround import actions
    from handover.walkround.document import shown_digest
    from handover.walkround.shown import Shown
    from tests.factories import an_act

    text = canonical_text(showing(pickup, heard))
    actions.sign_walk(pickup, role="customer", name="Maren", strokes=STROKES, shown=Shown(text), act=an_act(isla))
    seen = shown_digest(pickup)
    actions.sign_walk(pickup, role="staff", name="Isla", strokes=STROKES, seen_sha256=seen, act=an_act(isla))
    with pytest.raises(CannotBe, match="Still to sign"):
        actions.finish(pickup, act=an_act(isla))
