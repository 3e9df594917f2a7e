"""That the sealing certificate ends soon stands where managers look, and nowhere else."""

from datetime import date

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.test import Client

from handover.record import expiring
from handover.record.expiring import certificate_sentence
from handover.rental.models import Rental
from shared.access.models import Person

TODAY = date(2026, 8, 14)


@pytest.fixture(autouse=True)
def _asked_anew():
    expiring.seal_days_left.cache_clear()
    yield
    expiring.seal_days_left.cache_clear()


@pytest.mark.parametrize(
    ("days", "sentence"),
    [
        (400, ""),
        (30, ""),
        (29, "The certificate that seals Records ends in 29 days. Have it renewed."),
        (1, "The certificate that seals Records ends in 1 day. Have it renewed."),
        (-1, "The certificate that seals Records has ended. Records made now will not be valid: have it renewed."),
    ],
)
def test_what_is_said(monkeypatch, days, sentence):
    monkeypatch.setattr(expiring, "days_left", lambda certificate, at: days)
    assert certificate_sentence(TODAY) == sentence


def test_a_key_that_cannot_be_opened(monkeypatch):
    def refuse():
        raise ImproperlyConfigured("RECORD_PKCS12_FILE")

    monkeypatch.setattr(expiring, "sealing_key", refuse)
    assert "cannot be used" in certificate_sentence(TODAY)


def test_the_key_is_opened_once_a_day(monkeypatch):
    asked = []
    monkeypatch.setattr(expiring, "days_left", lambda certificate, at: asked.append(1) or 12)
    for day in (TODAY, TODAY, date(2026, 8, 15)):
        certificate_sentence(day)
    assert len(asked) == 2


@pytest.mark.django_db
def test_managers_see_it_and_hosts_do_not(monkeypatch, client: Client, booked: Rental, ruth: Person, isla: Person):
    monkeypatch.setattr(expiring, "days_left", lambda certificate, at: 12)
    for person, seen in ((ruth, True), (isla, False)):
        client.force_login(person)
        assert ("ends in 12 days" in client.get(f"/rental/{booked.pk}/").text) == seen
