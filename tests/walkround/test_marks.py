"""Marks: pinned on the plan, numbered for life, looked at again."""

import pytest

from handover.walkround.models import Mark, MarkFinding
from tests.factories import NINE
from tests.walkround.conftest import look, press, text_of

SCUFF = {"kind": "scuff", "part": "door", "place": "locker door", "size_mm": "40", "x_mm": "-1000", "y_mm": "5200"}


@pytest.fixture
def scrape(unit_407, isla):
    """Mark 3, known before the pickup."""
    return Mark.objects.create(
        unit=unit_407, number=3, station_number=2, kind="scrape", place="Locker door", size_mm=40, x_mm=-1000,
        y_mm=5200, found_at=NINE, found_by=isla,
    )  # fmt: skip


def pin(person, walk, **said):
    return press(person, "pin-mark", walk.pk, 2, htmx=True, **SCUFF | said)


def judge(person, walk, mark, **said):
    return press(person, "judge-mark", walk.pk, 2, mark.pk, htmx=True, **said)


def test_a_new_mark_takes_the_next_number(isla, pickup, scrape):
    said = text_of(pin(isla, pickup))
    mark = Mark.objects.get(found_on=pickup)
    assert (mark.number, mark.x_mm, mark.y_mm) == (4, -1000, 5200)
    assert '<span class="pin new">4</span> Scuff, 4 cm' in said
    assert 'class="mark new"' in said


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("x_mm", "", "Nothing is tapped yet. Tap the plan or a photo where the mark is"),
        ("x_mm", "9000", "The pin lies beside the vehicle."),
        ("size_mm", "big", "“big” is no whole number."),
        ("size_mm", "0", "0 mm cannot be its size."),
        ("place", " ", "Say where it is, such as kerb side door."),
        ("kind", "hole", "Say what kind of mark it is"),
        ("part", "sail", "Say which part has it"),
    ],
)
def test_what_cannot_be_pinned_stays_as_typed(isla, pickup, field, typed, sentence):
    response = pin(isla, pickup, **{field: typed})
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert 'value="-1000"' in text_of(response) or field == "x_mm"
    assert not Mark.objects.exists()


def test_a_known_mark_is_shown_with_its_day(isla, pickup, scrape):
    said = text_of(look(isla, "station", pickup.pk, 2))
    assert '<span class="pin">3</span> Scrape, 4 cm <small>Locker door, since 14 Aug' in said
    assert "1 known here" in said


def test_as_was(isla, pickup, scrape):
    judge(isla, pickup, scrape, word="as_was")
    assert MarkFinding.objects.get().word == "as_was"


def test_worse_asks_for_its_size_first(isla, pickup, scrape):
    response = judge(isla, pickup, scrape, word="worse")
    assert response.status_code == 200
    assert "How large is it now?" in text_of(response)
    assert not MarkFinding.objects.exists()


def test_worse_with_its_size(isla, pickup, scrape):
    assert "9 cm now" in text_of(judge(isla, pickup, scrape, word="worse", size_mm="90"))
    assert MarkFinding.objects.get().size_mm == 90


@pytest.mark.parametrize(
    ("size", "sentence"), [("30", "Mark 3 was 40 mm. Worse needs its size now"), ("a hand", "is no whole number")]
)
def test_worse_is_larger(isla, pickup, scrape, size, sentence):
    response = judge(isla, pickup, scrape, word="worse", size_mm=size)
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert f'value="{size}"' in text_of(response)


def test_a_repaired_mark_is_not_here(isla, pickup, scrape):
    Mark.objects.update(repaired_at=NINE)
    assert judge(isla, pickup, scrape, word="as_was").status_code == 422


def test_another_branch_judges_nothing(ida, pickup, scrape):
    assert judge(ida, pickup, scrape, word="as_was").status_code == 404


def test_a_mark_found_later_is_not_on_a_finished_pickup(isla, callum, back):
    pin(callum, back)
    assert 'class="mark new"' not in text_of(look(isla, "station", back.before.pk, 2))
