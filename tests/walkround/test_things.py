"""Counts and seals: what is there, what was opened, what nobody looked at."""

import pytest

from handover.walkround.models import Count, SealCheck
from tests.walkround.conftest import asked, look, press, text_of


def counted(person, walk, **said):
    return press(person, "count", walk.pk, 2, asked(walk, "straps"), htmx=True, **said)


def sealed(person, walk, **said):
    return press(person, "check-seal", walk.pk, 2, asked(walk, "first_aid"), htmx=True, **said)


@pytest.mark.parametrize(
    ("said", "kept"),
    [({"present": "0"}, 0), ({"present": "none"}, None), ({"present": "", "offered": "2"}, 2), ({"present": "3"}, 3)],
)
def test_none_is_not_nought(isla, pickup, said, kept):
    counted(isla, pickup, **said)
    assert Count.objects.get().present == kept


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("-1", "-1 Straps cannot be counted. 2 belong here; write 0 or more."),
        ("two", "“two” is no whole number."),
        ("1.5", "“1.5” is no whole number."),
        ("", "Nothing is written here."),
    ],
)
def test_what_cannot_be_counted_stays_as_typed(isla, pickup, typed, sentence):
    response = counted(isla, pickup, present=typed)
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert f'value="{typed}" aria-invalid="true"' in text_of(response)


def test_what_belongs_here_is_offered(isla, pickup):
    said = text_of(look(isla, "station", pickup.pk, 2))
    assert 'placeholder="2" class="none" readonly' in said
    assert "2 belong here" in said


def test_not_counted_says_who(isla, pickup):
    assert "<b>Not counted</b>" in text_of(counted(isla, pickup, present="none"))


def test_the_expected_number_is_shown(isla, pickup):
    assert "Seal 93412" in text_of(look(isla, "station", pickup.pk, 2))


@pytest.mark.parametrize("state", ["whole", "broken", "not_inspected"])
def test_three_states_of_a_seal(isla, pickup, state):
    sealed(isla, pickup, state=state)
    assert SealCheck.objects.get().state == state


def test_a_broken_seal_asks_what_was_used(isla, pickup):
    said = text_of(sealed(isla, pickup, state="broken"))
    assert "Used out of the first aid kit" in said
    assert '<input type="checkbox" name="used" value="bandage">' in said


def test_what_was_used_is_kept_and_shown(isla, pickup):
    response = sealed(isla, pickup, state="broken", used=["bandage", "plasters"], seal_number="93412")
    assert "Used: bandage, plasters" in text_of(response)
    assert SealCheck.objects.get().used == ["bandage", "plasters"]


def test_what_is_not_in_the_kit_was_not_used(isla, pickup):
    response = sealed(isla, pickup, state="broken", used=["axe"])
    assert response.status_code == 422
    assert "axe is not in the First aid kit. It holds: burn dressing, bandage, plasters." in text_of(response)


def test_another_number_is_kept(isla, pickup):
    assert "Seal 93500" in text_of(sealed(isla, pickup, state="whole", seal_number="93500"))


def test_a_seal_s_number_can_be_typed_and_scanned_where_the_browser_can(isla, pickup):
    said = text_of(look(isla, "station", pickup.pk, 2))
    assert 'name="seal_number" maxlength="20"' in said
    assert '<button type="button" class="act" data-scan aria-pressed="false" hidden>' in said
