"""Where one is signed in: seen, ended one by one or all; a password of one's own; a lost tablet."""

from datetime import timedelta
from typing import Any

import pytest
from django.conf import settings
from django.contrib.auth.password_validation import validate_password
from django.contrib.sessions.models import Session
from django.core.exceptions import ValidationError
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fleet.models import Branch
from shared.access.checks import second_factor_is_required
from shared.access.lockout.waiting import OF_A_NAME
from shared.access.models import Device, Person, SignedIn
from shared.access.sessions import SINCE, browser_in
from shared.ledger.models import Entry
from tests.factories import PASSWORD, PersonFactory

FIREFOX = "Mozilla/5.0 (Android 14; Mobile; rv:126.0) Gecko/126.0 Firefox/126.0"
CHROME = "Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/125.0 Safari/537.36"
NEW = "three wet dogs at noon"


def signed_in(name: str, agent: str = FIREFOX) -> Client:
    client = Client(HTTP_USER_AGENT=agent)
    client.post("/sign-in/", {"username": name, "password": PASSWORD})
    return client


def is_in(client: Client) -> bool:
    return client.get("/me/").status_code == 200


@pytest.mark.parametrize(
    ("agent", "said"),
    [
        (FIREFOX, "Firefox, Android"),
        (CHROME, "Chrome, Windows"),
        ("curl/8", ""),
        ("", ""),
        ("Edg Chrome Mac OS", "Edge, Mac"),
    ],
)
def test_what_a_browser_calls_itself(agent: str, said: str) -> None:
    assert browser_in(agent) == said


def test_elsewhere_is_said_and_here_is_not(isla: Person) -> None:
    here, _there = signed_in("isla"), signed_in("isla", CHROME)
    text = here.get("/me/").text
    assert "Chrome, Windows" in text
    assert "Firefox" not in text


def test_one_is_ended_from_elsewhere(isla: Person) -> None:
    here, there = signed_in("isla"), signed_in("isla", CHROME)
    row = SignedIn.objects.get(browser="Chrome, Windows")
    assert here.post(f"/me/sessions/{row.pk}/end/").url == "/me/"
    assert (is_in(here), is_in(there)) == (True, False)


def test_all_others_are_ended(isla: Person) -> None:
    here, *there = (signed_in("isla") for _ in range(3))
    here.post("/me/sessions/others/end/")
    assert [is_in(client) for client in (here, *there)] == [True, False, False]


def test_nobody_ends_anothers(isla: Person, callum: Person) -> None:
    hers, his = signed_in("isla"), signed_in("callum")
    his.post(f"/me/sessions/{SignedIn.objects.get(person=isla).pk}/end/")
    his.post("/me/sessions/others/end/")
    assert is_in(hers)


def test_the_key_of_a_session_stands_on_no_page(isla: Person) -> None:
    here, there = signed_in("isla"), signed_in("isla", CHROME)
    text = here.get("/me/").text
    assert not [key for key in (there.session.session_key, here.session.session_key) if str(key) in text]


def test_signing_out_leaves_nothing_behind(isla: Person) -> None:
    here, there = signed_in("isla"), signed_in("isla", CHROME)
    there.post("/sign-out/")
    assert "Nowhere but here." in here.get("/me/").text


def test_last_seen_moves_on_when_some_minutes_have_passed(isla: Person) -> None:
    from django.core.cache import cache

    here = signed_in("isla")
    long_ago = timezone.now() - timedelta(hours=3)
    SignedIn.objects.update(seen_at=long_ago)
    here.get("/me/")
    assert SignedIn.objects.get().seen_at == long_ago
    cache.clear()
    here.get("/me/")
    assert SignedIn.objects.get().seen_at > long_ago


def test_rows_of_long_ago_go_at_the_next_sign_in(isla: Person, callum: Person) -> None:
    signed_in("isla")
    SignedIn.objects.update(seen_at=timezone.now() - timedelta(days=3))
    signed_in("callum")
    assert [row.person for row in SignedIn.objects.all()] == [callum]


def test_a_shift_after_the_sign_in_it_is_over_whatever_was_done(isla: Person) -> None:
    here = signed_in("isla")
    session = here.session
    session[SINCE] -= settings.SESSION_COOKIE_AGE + 1
    session.save()
    assert not is_in(here)
    assert not Session.objects.exists()


def test_whoever_left_is_signed_in_nowhere(isla: Person) -> None:
    here = signed_in("isla")
    Person.objects.update(is_active=False)
    assert not is_in(here)


def test_an_administrator_signs_somebody_out_everywhere(isla: Person, anders: Person) -> None:
    here, desk = signed_in("isla"), Client()
    desk.force_login(anders)
    said = {"action": "sign_out_everywhere", "_selected_action": [str(isla.pk)]}
    desk.post(reverse("admin:shared_person_changelist"), said)
    assert not is_in(here)
    assert Entry.objects.get(kind="setting_up.done").actor == anders


class TestPassword:
    def change(self, client: Client, old: str = PASSWORD, new: str = NEW, again: str = NEW) -> Any:
        return client.post("/me/password/", {"old_password": old, "new_password1": new, "new_password2": again})

    def test_a_host_changes_it_and_is_signed_in_only_here(self, isla: Person) -> None:
        here, there = signed_in("isla"), signed_in("isla", CHROME)
        assert self.change(here).url == "/me/"
        assert (is_in(here), is_in(there)) == (True, False)
        assert isla.check_password(PASSWORD)
        isla.refresh_from_db()
        assert isla.check_password(NEW)
        assert Entry.objects.filter(kind="password.changed", chain=isla.pk, payload="{}").count() == 1

    @pytest.mark.parametrize(
        "said", [{"old": "guess"}, {"again": "something else"}, {"new": "short", "again": "short"}]
    )  # fmt: skip
    def test_what_cannot_be_is_said(self, isla: Person, said: dict[str, str]) -> None:
        here = signed_in("isla")
        assert self.change(here, **said).status_code == 422
        isla.refresh_from_db()
        assert isla.check_password(PASSWORD)

    def test_wrong_old_ones_are_counted(self, isla: Person) -> None:
        here = signed_in("isla")
        assert [self.change(here, old="guess").status_code for _ in range(OF_A_NAME)][-1] == 429

    @pytest.mark.parametrize("password", ["levelpeg123", "Level-Pegging!", "administrator", "1234567890"])
    def test_a_word_of_the_house_is_none(self, password: str) -> None:
        with pytest.raises(ValidationError):
            validate_password(password)

    @pytest.mark.parametrize("password", [NEW, "x" * 32 + "y" * 32, "a camper in the long rain"])
    def test_any_other_of_ten_characters_is_one(self, password: str) -> None:
        validate_password(password)


class TestTablets:
    @pytest.fixture
    def as_ruth(self, ruth: Person) -> Client:
        client = Client()
        client.force_login(ruth)
        return client

    def test_a_lost_one_is_taken_off_by_a_manager(self, isla: Person, as_ruth: Client, ruth: Person) -> None:
        tablet = signed_in("isla")
        device = Device.objects.get()
        assert "Isla Macrae" in as_ruth.get("/tablets/").text
        assert as_ruth.post(f"/tablets/{device.pk}/lost/").url == "/tablets/"
        assert not is_in(tablet)
        assert "Nobody has signed in on this tablet yet." in tablet.get("/people-here/").text
        assert Entry.objects.get(kind="device.revoked").actor == ruth
        assert "Taken off by Ruth A." in as_ruth.get("/tablets/").text

    def test_others_go_on(self, isla: Person, callum: Person, as_ruth: Client) -> None:
        signed_in("isla")
        device, other = Device.objects.get(), signed_in("callum")
        as_ruth.post(f"/tablets/{device.pk}/lost/")
        assert is_in(other)

    def test_of_another_branch_it_is_not_there(self, isla: Person, port_averil: Branch) -> None:
        signed_in("isla")
        client = Client()
        client.force_login(PersonFactory(username="far", role="manager", branches=[port_averil]))
        assert "Nobody of your branches has signed in on a tablet yet." in client.get("/tablets/").text
        assert client.post(f"/tablets/{Device.objects.get().pk}/lost/").status_code == 404

    def test_a_manager_finds_it_on_the_own_page(self, as_ruth: Client) -> None:
        assert 'href="/tablets/"' in as_ruth.get("/me/").text


def test_the_list_takes_a_fixed_number_of_queries(isla: Person, django_assert_max_num_queries: Any) -> None:
    here = signed_in("isla")
    for _ in range(6):
        signed_in("isla", CHROME)
    with django_assert_max_num_queries(8):
        here.get("/me/")


def test_so_does_that_of_tablets(isla: Person, ruth: Person, django_assert_max_num_queries: Any) -> None:
    for _ in range(6):
        signed_in("isla")
    client = Client()
    client.force_login(ruth)
    with django_assert_max_num_queries(8):
        client.get("/tablets/")


@pytest.mark.parametrize(("mode", "warned"), [("required", []), ("offered", ["levelpeg.W010"])])
def test_a_production_that_only_offers_the_second_factor_is_warned(settings: Any, mode: str, warned: list[str]) -> None:
    settings.SECOND_FACTOR = mode
    assert [caution.id for caution in second_factor_is_required(None)] == warned
