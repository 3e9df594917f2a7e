"""Two tablets answer one question without having seen each other's answer: both stay, a person picks one."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from handover.tablet.models import Disagreement
from handover.walkround.answers import answers_of
from handover.walkround.models import CheckAnswer, Hold, Reading, WalkRound
from shared.access.models import Person
from shared.ids import uuid7
from shared.ledger.models import Entry
from tests.tablet.conftest import Tablet, asked, signed_in

AGO = timedelta(minutes=10)


@pytest.fixture
def gas(pickup: WalkRound) -> Any:
    return asked(pickup, "gas_front")


def reading(tablet: Tablet, walk: WalkRound, typed: str, **said: Any) -> dict[str, Any]:
    return tablet.says("reading", walk, asked(walk, "gas_front"), typed=typed, **said)


def smell(tablet: Tablet, walk: WalkRound, word: str, **said: Any) -> dict[str, Any]:
    return tablet.says("check", walk, asked(walk, "Smell of gas"), word=word, **said)


def test_both_are_kept_and_the_later_one_counts(two: Tablet, three: Tablet, pickup: WalkRound, gas: Any) -> None:
    late = reading(two, pickup, "9.4", at=timezone.now() - AGO)
    three.send(reading(three, pickup, "11.7"))
    assert two.told(late) == ["conflict"]
    assert Reading.objects.count() == 2
    assert answers_of([pickup])[pickup.pk].readings[gas].typed == "11.7"
    row = Disagreement.objects.get()
    assert (row.item, row.kind, str(row.came)) == (gas, "reading", late["key"])


def test_sent_again_it_is_one_disagreement(two: Tablet, three: Tablet, pickup: WalkRound) -> None:
    three.send(reading(three, pickup, "11.7"))
    entry = reading(two, pickup, "9.4")
    assert [two.told(entry) for _ in range(2)] == [["conflict"], ["duplicate"]]
    assert Disagreement.objects.count() == 1
    assert Entry.objects.get(kind="disagreement.found").actor is None


def test_who_saw_the_other_answer_changes_it_and_disputes_nothing(
    two: Tablet, three: Tablet, pickup: WalkRound
) -> None:
    seen = reading(three, pickup, "11.7")
    three.send(seen)
    assert two.told(reading(two, pickup, "9.4", base=seen["key"])) == ["ok"]


def test_the_same_answer_twice_is_no_dispute(two: Tablet, three: Tablet, pickup: WalkRound) -> None:
    three.send(reading(three, pickup, "9.4"))
    assert two.told(reading(two, pickup, "9.4 kg")) == ["ok"]


def test_a_tablet_does_not_dispute_with_itself(two: Tablet, pickup: WalkRound) -> None:
    """The id of a device made in the same request must not be text on one side and a UUID on the other."""
    assert two.told(reading(two, pickup, "9.4"), reading(two, pickup, "9.6")) == ["ok", "ok"]
    two.client.get(f"/tablet/hello/?device={two.device.pk}")
    gauge = asked(pickup, "gas_front")
    two.client.post(f"/walk/{pickup.pk}/station/2/reading/{gauge}/", {"key": str(uuid7()), "typed": "9.8"})
    assert two.told(reading(two, pickup, "9.9")) == ["ok"]


def test_different_questions_do_not_meet(two: Tablet, three: Tablet, pickup: WalkRound) -> None:
    three.send(reading(three, pickup, "11.7"))
    assert two.told(two.says("count", pickup, asked(pickup, "straps"), present="2")) == ["ok"]


def test_what_was_answered_at_the_desk_is_another_device(two: Tablet, ruth: Person, pickup: WalkRound) -> None:
    gauge = asked(pickup, "gas_front")
    address = f"/walk/{pickup.pk}/station/2/reading/{gauge}/"
    signed_in(ruth).post(address, {"key": str(uuid7()), "typed": "9.8"})
    assert two.told(reading(two, pickup, "9.4")) == ["conflict"]


def test_each_kind_of_answer_can_disagree(two: Tablet, three: Tablet, pickup: WalkRound) -> None:
    pairs = [
        ("count", "straps", {"present": "2"}, {"present": "none"}),
        ("seal", "first_aid", {"state": "whole", "seal_number": "93412"}, {"state": "broken", "used": ["bandage"]}),
        ("topic", "Vents", {"outcome": "understood"}, {"outcome": "declined"}),
        ("check", "Floor drain clear", {"word": "good"}, {"word": "bad"}),
    ]
    for kind, code, one, other in pairs:
        three.send(three.says(kind, pickup, asked(pickup, code), **one))
        assert two.told(two.says(kind, pickup, asked(pickup, code), **other)) == ["conflict"]


@pytest.mark.parametrize("word", ["good", "bad"])
def test_of_two_answers_to_a_safety_check_the_bad_one_holds(
    word: str, two: Tablet, three: Tablet, pickup: WalkRound
) -> None:
    """Whichever came first, and whichever was later."""
    other = "bad" if word == "good" else "good"
    three.send(smell(three, pickup, word, at=timezone.now() - AGO))
    two.send(smell(two, pickup, other))
    assert Hold.objects.get().released_at is None


def test_an_older_bad_answer_holds_too(two: Tablet, three: Tablet, pickup: WalkRound) -> None:
    late = smell(two, pickup, "bad", at=timezone.now() - AGO)
    three.send(smell(three, pickup, "good"))
    assert two.told(late) == ["conflict"]
    assert Hold.objects.get().answer.pk == CheckAnswer.objects.get(word="bad").pk


def test_an_older_good_answer_of_one_tablet_releases_nothing(two: Tablet, pickup: WalkRound) -> None:
    early, late = smell(two, pickup, "good", at=timezone.now() - AGO), smell(two, pickup, "bad")
    two.send(late)
    two.send(early)
    assert Hold.objects.get().released_at is None


@pytest.fixture
def disputed(two: Tablet, three: Tablet, pickup: WalkRound) -> Disagreement:
    """Ruth smelled nothing, Isla gas."""
    three.send(smell(three, pickup, "good", at=timezone.now() - AGO))
    two.send(smell(two, pickup, "bad", note="at the front valve"))
    return Disagreement.objects.get()


def page(person: Person, walk: WalkRound) -> str:
    return signed_in(person).get(f"/walk/{walk.pk}/station/2/").content.decode()


def test_both_stand_at_the_row_with_who_said_them(disputed: Disagreement, isla: Person, pickup: WalkRound) -> None:
    shown = page(isla, pickup)
    assert "2 answers for one question." in shown
    for words in ("None <small>Ruth A.", "Smell, at the front valve <small>Isla M."):
        assert words in shown


def test_who_cannot_answer_sees_them_and_picks_nothing(
    disputed: Disagreement, callum: Person, pickup: WalkRound
) -> None:
    shown = page(callum, pickup)
    assert "2 answers for one question." in shown
    assert "settles" not in shown


def test_a_person_picks_one_on_the_page(disputed: Disagreement, isla: Person, pickup: WalkRound) -> None:
    address = f"/walk/{pickup.pk}/station/2/check/{disputed.item}/"
    sent = {"key": str(uuid7()), "word": "good", "settles": str(disputed.pk)}
    signed_in(isla).post(address, sent)
    disputed.refresh_from_db()
    assert str(disputed.settled_with) == sent["key"]
    assert "2 answers for one question." not in page(isla, pickup)
    assert Hold.objects.get().reason == "Checked again: none."
    assert Entry.objects.get(kind="disagreement.settled").actor == isla


def test_a_person_picks_one_on_the_tablet(disputed: Disagreement, two: Tablet, pickup: WalkRound) -> None:
    entry = smell(two, pickup, "bad", base=str(disputed.came), settles=str(disputed.pk))
    assert two.told(entry) == ["ok"]
    disputed.refresh_from_db()
    assert str(disputed.settled_with) == entry["key"]


def test_another_question_settles_nothing(disputed: Disagreement, two: Tablet, pickup: WalkRound) -> None:
    two.send(two.says("count", pickup, asked(pickup, "straps"), present="2", settles=str(disputed.pk)))
    disputed.refresh_from_db()
    assert disputed.settled_at is None


def test_what_repeats_the_last_return_is_one_press_of_one_tablet(two: Tablet, three: Tablet, pickup: WalkRound) -> None:
    """Each of its answers is known by the press and by what it answers, on a tablet without a network too."""
    from uuid import UUID, uuid5

    from handover.walkround.models import Count
    from tests.factories import an_act

    straps = asked(pickup, "straps")
    press = uuid7()
    Count.objects.create(
        id=uuid5(press, str(straps)), walk=pickup, item_id=straps, present=2, in_bulk=True, at=pickup.started_at,
        by=two.person,
    )  # fmt: skip
    answered = {"kind": "count", "id": str(uuid5(press, str(straps)))}
    act = an_act(two.person, key=press, device=str(two.device.pk))
    from django.db import transaction

    with transaction.atomic():
        act.write(
            chain=pickup.leg.rental_id, kind="station.rest_as_before", subject=UUID(str(pickup.pk)),
            payload={"answers": [answered]},
        )  # fmt: skip
    assert two.told(two.says("count", pickup, straps, present="1")) == ["ok"]
    assert three.told(three.says("count", pickup, straps, present="0")) == ["conflict"]
