"""Not read, not inspected, not there, not counted: two presses away at every row, also where an answer was given."""

import pytest

from handover.statement.inputs import pricing_document
from handover.walkround.actions import check_seal
from handover.walkround.models import CheckAnswer, Count, MarkFinding, Reading, SealCheck
from tests.factories import BACK_AT, an_act
from tests.walkround.conftest import asked, look, press, text_of


def list_of(person, walk, number=2):
    said = text_of(look(person, "station", walk.pk, number))
    return said[said.index('id="unseen"') :]


@pytest.mark.parametrize(
    ("name", "code", "said", "model", "field", "kept"),
    [
        ("answer-check", "Floor drain clear", {"word": "not_inspected"}, CheckAnswer, "word", "not_inspected"),
        ("answer-check", "Floor drain clear", {"word": "not_applicable"}, CheckAnswer, "word", "not_applicable"),
        ("take-reading", "gas_front", {"state": "not_read"}, Reading, "state", "not_read"),
        ("take-reading", "gas_front", {"state": "not_applicable"}, Reading, "state", "not_applicable"),
        ("count", "straps", {"present": "none"}, Count, "present", None),
        ("count", "straps", {"present": "0"}, Count, "present", 0),
        ("check-seal", "first_aid", {"state": "not_inspected"}, SealCheck, "state", "not_inspected"),
        ("check-seal", "first_aid", {"state": "not_present"}, SealCheck, "state", "not_present"),
    ],
)
def test_each_is_kept_and_pressed(isla, pickup, name, code, said, model, field, kept):
    press(isla, name, pickup.pk, 2, asked(pickup, code), **said)
    assert getattr(model.objects.get(), field) == kept
    ((button, value),) = said.items()
    assert f'name="{button}" value="{value}" aria-pressed="true"' in list_of(isla, pickup)


def test_every_row_stands_there_whatever_its_answer(isla, pickup):
    press(isla, "answer-check", pickup.pk, 2, asked(pickup, "Floor drain clear"), word="good")
    said = list_of(isla, pickup)
    for what in ("Floor drain clear", "Smell of gas", "Front cylinder", "Straps", "First aid kit"):
        assert f'<p class="what">{what}</p>' in said


def test_a_known_mark_that_cannot_be_seen(callum, back):
    mark = a_mark(back)
    press(callum, "judge-mark", back.pk, 2, mark.pk, word="unseen")
    assert MarkFinding.objects.get().word == "unseen"
    assert "<b>Not inspected</b>" in text_of(look(callum, "station", back.pk, 2))


def a_mark(walk):
    return walk.leg.unit.marks.create(
        number=3, station_number=2, kind="scrape", place="locker door", size_mm=40, x_mm=-1000, y_mm=5300,
        found_at=walk.before.started_at, found_by=walk.started_by,
    )  # fmt: skip


def test_who_only_looks_has_no_list(maeve, pickup):
    assert "<summary>Cannot be read" not in text_of(look(maeve, "station", pickup.pk, 2))


def kits(rental, walk, state):
    check_seal(walk, item=asked(walk, "first_aid"), state=state, act=an_act(walk.started_by, at=BACK_AT))
    return pricing_document(rental)["kits"]


def test_a_kit_that_is_gone_is_opened_and_all_of_it_missing(away, back):
    (kit,) = kits(away, back, "not_present")
    assert (kit["seal_intact"], kit["missing"]) == (False, ["burn dressing", "bandage", "plasters"])


def test_a_kit_that_was_not_there_at_pickup_is_nobody_s_to_pay(away, back):
    seal = SealCheck(walk=back.before, item_id=asked(back, "first_aid"), state="not_present")
    seal.at, seal.by = back.before.started_at, back.started_by
    seal.save()
    assert kits(away, back, "not_present") == []
