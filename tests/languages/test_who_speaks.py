"""Which language a page speaks: the person's own; before sign-in the one that the browser asks for."""

import pytest
from django.test import Client
from django.urls import reverse

from shared.access.models import Person

ASKS_FOR_FRENCH = {"accept-language": "fr-CA,fr;q=0.9,en;q=0.5"}


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("asked", "language", "heading"),
    [
        ("de", "de", "Anmelden"),
        ("fr-CA,fr;q=0.9", "fr", "Se connecter"),
        ("nl", "en-gb", "Sign in"),
        ("", "en-gb", "Sign in"),
    ],
)
def test_a_visitor(client: Client, asked: str, language: str, heading: str) -> None:
    page = client.get("/sign-in/", headers={"accept-language": asked})
    assert page.headers["Content-Language"] == language
    assert f"<h1>{heading}</h1>" in page.text


@pytest.mark.django_db
def test_a_cache_keeps_the_languages_apart(client: Client) -> None:
    assert "Accept-Language" in client.get("/sign-in/").headers["Vary"]


def test_a_person_s_own_language_counts_more_than_the_browser_s(as_isla: Client, isla: Person) -> None:
    Person.objects.filter(pk=isla.pk).update(language="de")
    page = as_isla.get("/", follow=True, headers=ASKS_FOR_FRENCH)
    assert '<html lang="de"' in page.text


def test_a_person_who_chose_nothing_reads_the_house_language(as_isla: Client) -> None:
    page = as_isla.get("/", follow=True, headers=ASKS_FOR_FRENCH)
    assert '<html lang="en-GB"' in page.text


def test_one_s_own_page_offers_each_language_by_its_own_name(as_isla: Client) -> None:
    page = as_isla.get("/me/").text
    for name in ("English", "Deutsch", "Français"):
        assert f"<b>{name}</b>" in page


def choose(browser: Client, language: str) -> str:
    return browser.post(reverse("me"), {"light": "day", "hand": "right", "language": language}, follow=True).text


def test_choosing_a_language(as_isla: Client, isla: Person) -> None:
    page = choose(as_isla, "fr")
    isla.refresh_from_db()
    assert isla.language == "fr"
    assert '<html lang="fr"' in page


def test_a_language_that_is_not_spoken_here(as_isla: Client, isla: Person) -> None:
    choose(as_isla, "tlh")
    isla.refresh_from_db()
    assert isla.language == "en-gb"


def test_one_person_s_language_does_not_stay_for_the_next(as_isla: Client, isla: Person, client: Client) -> None:
    Person.objects.filter(pk=isla.pk).update(language="de")
    as_isla.get("/me/")
    assert "<h1>Sign in</h1>" in Client().get("/sign-in/").text


def test_the_setting_up_pages(client: Client, anders: Person) -> None:
    """Django's own words and ours: names of tables and fields too."""
    Person.objects.filter(pk=anders.pk).update(language="de")
    client.force_login(anders)
    page = client.get(reverse("admin:fleet_unit_changelist")).text
    assert "Fahrzeuge" in page
    assert "Hinzufügen" in page or "hinzufügen" in page


def test_an_administrator_sets_the_language_of_somebody(client: Client, anders: Person, isla: Person) -> None:
    client.force_login(anders)
    page = client.get(reverse("admin:shared_person_change", args=[isla.pk])).text
    assert 'name="language"' in page
