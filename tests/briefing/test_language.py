"""The customer's language: as booked until it is chosen on the walk-round."""

import json

import pytest

from handover.acting import CannotBe
from handover.briefing.actions import choose_language
from handover.briefing.panel import language_of
from handover.rental.forms import BookingForm
from shared.access.scope import NotAllowed
from shared.ledger.models import Entry
from tests.briefing.conftest import reader_of
from tests.factories import an_act
from tests.walkround.conftest import press


def test_it_is_the_bookings_until_it_is_chosen(pickup):
    reader_of(pickup, "fr")
    assert language_of(pickup).name == "Français"


def test_chosen_it_counts_for_the_walk_and_the_customer(isla, pickup):
    choose_language(pickup, language="ar", act=an_act(isla))
    pickup.refresh_from_db()
    assert (pickup.language, pickup.leg.rental.customer.language) == ("ar", "ar")
    said = json.loads(Entry.objects.get(kind="language.chosen").payload)
    assert said == {"walk": str(pickup.pk), "language": "ar", "was": "en"}


def test_it_can_be_changed(isla, pickup):
    for language in ("de", "nl"):
        choose_language(pickup, language=language, act=an_act(isla))
    assert language_of(pickup).code == "nl"
    assert Entry.objects.filter(kind="language.chosen").count() == 2


def test_a_replay_chooses_once(isla, pickup):
    act = an_act(isla)
    for _ in range(2):
        choose_language(pickup, language="de", act=act)
    assert Entry.objects.filter(kind="language.chosen").count() == 1


@pytest.mark.parametrize("language", ["", "fi", "de-CH", "<b>"])
def test_another_language_is_refused_with_those_there_are(isla, pickup, language):
    with pytest.raises(CannotBe, match="Deutsch, Français, Español"):
        choose_language(pickup, language=language, act=an_act(isla))
    assert language_of(pickup).code == "en"


def test_who_may_not_do_a_pickup_chooses_nothing(callum, pickup):
    with pytest.raises(NotAllowed):
        choose_language(pickup, language="de", act=an_act(callum))


def test_the_page_comes_back_in_it(isla, pickup):
    answer = press(isla, "choose-language", pickup.pk, 2, htmx=True, language="ar")
    assert 'data-saying="ar"' in answer.content.decode()


def test_without_script_the_station_is_shown_again(isla, pickup):
    answer = press(isla, "choose-language", pickup.pk, 2, language="de")
    assert (answer.status_code, answer.headers["Location"]) == (302, f"/walk/{pickup.pk}/station/2/#topic")


def test_a_refusal_stands_at_the_topic(isla, pickup):
    answer = press(isla, "choose-language", pickup.pk, 2, htmx=True, language="fi")
    assert answer.status_code == 422
    assert "The briefing is given in these languages" in answer.content.decode()


def test_a_booking_offers_each_by_its_own_name(inverlark):
    page = str(BookingForm(branch=inverlark)["language"])
    assert '<option value="ar" lang="ar" dir="rtl">العربية</option>' in page
    assert page.count("<option") == 6
