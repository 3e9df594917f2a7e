"""After its own answers a tablet is told the version that it has then; after anything else it fetches all again."""

from typing import Any

import pytest

from fleet.models import CheckItem, Instrument
from handover.walkround.actions import answer_check
from handover.walkround.models import WalkRound
from shared.access.models import Person
from tests.factories import an_act
from tests.tablet.conftest import Tablet, asked

pytestmark = pytest.mark.django_db


def tag(tablet: Tablet, walk: WalkRound) -> str:
    return tablet.client.get(f"/tablet/walk/{walk.pk}/").headers["ETag"]


def diesel(tablet: Tablet, walk: WalkRound) -> Any:
    return tablet.says("reading", walk, Instrument.objects.get(code="diesel").pk, station=1, typed="82")


def test_own_answers_move_the_version_and_nothing_is_fetched_again(two: Tablet, pickup: WalkRound) -> None:
    before = tag(two, pickup)
    drain = two.says("check", pickup, CheckItem.objects.get(code="drain").pk, word="good")
    (moved,) = two.send(diesel(two, pickup), drain)["moved"]
    assert moved == {"walk": str(pickup.pk), "from": before, "to": tag(two, pickup)}
    again = two.client.get(f"/tablet/walk/{pickup.pk}/", headers={"If-None-Match": moved["to"]})
    assert again.status_code == 304


def test_what_was_sent_before_moves_nothing(two: Tablet, pickup: WalkRound) -> None:
    entry = diesel(two, pickup)
    two.send(entry)
    assert two.send(entry)["moved"] == []


def test_an_answer_of_somebody_else_between_is_fetched(
    two: Tablet, pickup: WalkRound, ruth: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It comes after the batch began and before it ended: in the new version, and not on this tablet."""
    from handover.tablet.views import sending

    received = sending.receive

    def meanwhile(batch: Any, told: Any) -> Any:
        answer_check(pickup, item=asked(pickup, "Floor drain clear"), word="good", note="", act=an_act(ruth))
        return received(batch, told)

    monkeypatch.setattr(sending, "receive", meanwhile)
    assert two.send(diesel(two, pickup))["moved"] == []


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        (
            "mark",
            {"kind": "scratch", "part": "door", "place": "left door", "size_mm": "40", "x_mm": "-1025", "y_mm": "2600"},
        ),
        ("language", {"language": "de"}),
    ],
)
def test_what_shows_at_other_stations_is_fetched(
    two: Tablet, pickup: WalkRound, kind: str, said: dict[str, str]
) -> None:
    entry = two.says(kind, pickup, fields=said)
    answer = two.send(diesel(two, pickup), entry)
    assert {ack["status"] for ack in answer["acks"]} == {"ok"}
    assert answer["moved"] == []


def test_the_first_topic_asks_for_the_language_at_its_station_alone(two: Tablet, pickup: WalkRound) -> None:
    def asking() -> list[int]:
        stations = two.client.get(f"/tablet/walk/{pickup.pk}/").json()["stations"]
        return [row["number"] for row in stations if 'id="language" data-part open' in row["html"]]

    assert asking() == [2]
    heard = two.says("topic", pickup, asked(pickup, "Gas valves"), outcome="understood", seconds="20")
    assert len(two.send(heard)["moved"]) == 1
    assert asking() == []


def test_a_hold_shows_at_every_station(two: Tablet, pickup: WalkRound) -> None:
    smell = two.says("check", pickup, CheckItem.objects.get(code="gas_smell").pk, word="bad", note="at the valve")
    answer = two.send(smell)
    assert answer["acks"][0]["status"] == "ok"
    assert answer["moved"] == []


def test_of_another_branch_nothing_is_told(two: Tablet, pickup: WalkRound, ida: Person) -> None:
    two.relay, two.client = ida, Tablet(two.device, ida).client
    assert two.send(diesel(two, pickup))["moved"] == []
