"""A customer's link opens one rental, until it ends or is taken back; an altered one opens nothing."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client, override_settings

from handover.acting import CannotBe
from handover.customer.actions import make_link, revoke_link
from handover.customer.models import CustomerLink, CustomerTerms, LinkOpening
from handover.customer.token import digest_of, is_of, link_id_in, token_for, token_of
from handover.rental.models import Rental
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ids import uuid7
from shared.ledger.models import Entry
from tests.customer.conftest import ON_THE_TRIP, at
from tests.factories import PersonFactory, RentalFactory, UnitFactory, an_act

pytestmark = pytest.mark.django_db


def test_it_opens_the_page_without_signing_in(phone: Client, here: str) -> None:
    answer = phone.get(here)
    assert answer.status_code == 200
    assert "Day 2 of 5" in answer.text


def test_the_token_is_kept_only_as_its_digest(link: CustomerLink) -> None:
    token = token_of(link)
    assert link.digest == digest_of(token)
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM handover_customerlink")
        assert token.partition(".")[2] not in str(cursor.fetchall())
    assert token not in "".join(Entry.objects.values_list("payload", flat=True))


def test_the_signature_has_more_than_128_bits(link: CustomerLink) -> None:
    assert len(token_of(link).partition(".")[2]) * 6 >= 256


def test_no_two_links_have_one_token(out: Rental, link: CustomerLink, isla: Person) -> None:
    other = make_link(out, act=an_act(isla, at=ON_THE_TRIP))
    assert token_of(other) != token_of(link)
    assert not is_of(token_of(other), link)


def test_another_key_of_the_server_opens_nothing(phone: Client, here: str) -> None:
    with override_settings(SECRET_KEY="another"):
        assert phone.get(here).status_code == 404


def test_a_key_before_this_one_still_opens(phone: Client, here: str, settings: pytest.FixtureRequest) -> None:
    before = settings.SECRET_KEY  # type: ignore[attr-defined]
    with override_settings(SECRET_KEY="a later one", SECRET_KEY_FALLBACKS=[before]):
        assert phone.get(here).status_code == 200


def test_every_altered_letter_is_noticed(phone: Client, link: CustomerLink) -> None:
    token = token_of(link)
    for place in range(len(token) - 1):
        letter = "A" if token[place] != "A" else "B"
        answer = phone.get(f"/c/{token[:place]}{letter}{token[place + 1 :]}/")
        assert answer.status_code == 404
        assert "This address is not whole, or not one of ours." in answer.text


@pytest.mark.parametrize("token", ["x", "x.y", "." * 60, "é" * 22, "A" * 22 + ".", "A" * 500])
def test_what_is_no_token(phone: Client, token: str) -> None:
    answer = phone.get(f"/c/{token}/")
    assert answer.status_code == 404
    assert "Open it from the e-mail or scan the code again." in answer.text


def test_a_signed_token_of_no_row_opens_nothing(phone: Client, out: Rental) -> None:
    assert phone.get(f"/c/{token_for(uuid7(), out.pk)}/").status_code == 404


def test_a_row_under_another_rental_opens_nothing(phone: Client, link: CustomerLink, here: str) -> None:
    """Whoever can write to the database but has not the server's key cannot turn a link to another rental."""
    CustomerLink.objects.filter(pk=link.pk).update(rental=RentalFactory(leg=UnitFactory(number="305")))
    assert phone.get(here).status_code == 404


def test_it_ends_some_days_after_the_return(
    phone: Client, here: str, link: CustomerLink, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert link.expires_at == link.rental.planned_back_at + timedelta(days=90)
    at(monkeypatch, link.expires_at)
    assert phone.get(here).status_code == 200
    at(monkeypatch, link.expires_at + timedelta(minutes=1))
    answer = phone.get(here)
    assert answer.status_code == 410
    assert "This link was open until 16 Nov 2026." in answer.text
    assert "Ask the branch for a new one." in answer.text


def test_a_branch_has_terms_of_its_own(out: Rental, isla: Person) -> None:
    CustomerTerms.objects.create(branch=out.branch, link_days=7, notice_hours=12)
    made = make_link(out, act=an_act(isla, at=ON_THE_TRIP))
    assert made.expires_at == out.planned_back_at + timedelta(days=7)


def test_withdrawn_it_opens_nothing(phone: Client, here: str, link: CustomerLink, isla: Person) -> None:
    revoke_link(link, act=an_act(isla, at=ON_THE_TRIP))
    answer = phone.get(here)
    assert answer.status_code == 410
    assert "This link was withdrawn by the branch." in answer.text
    assert "Maren" not in answer.text
    assert "Entry" not in answer.text


def test_withdrawn_it_takes_nothing(phone: Client, here: str, link: CustomerLink, isla: Person) -> None:
    revoke_link(link, act=an_act(isla, at=ON_THE_TRIP))
    answer = phone.post(f"{here}report/", {"key": str(uuid7()), "words": "A scratch."})
    assert answer.status_code == 410
    assert not link.rental.noticed.exists()


def test_withdrawn_twice_is_said(link: CustomerLink, isla: Person) -> None:
    revoke_link(link, act=an_act(isla, at=ON_THE_TRIP))
    with pytest.raises(CannotBe, match="withdrawn already"):
        revoke_link(link, act=an_act(isla, at=ON_THE_TRIP))


def test_a_cancelled_booking_is_closed(phone: Client, here: str, out: Rental) -> None:
    Rental.objects.filter(pk=out.pk).update(state="cancelled")
    answer = phone.get(here)
    assert (answer.status_code, "This booking was cancelled." in answer.text) == (410, True)


def test_it_is_said_when_it_was_opened(
    phone: Client, here: str, link: CustomerLink, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Photos and pages of one visit are one opening."""
    for minute, openings in ((0, 1), (0, 1), (2, 2)):
        at(monkeypatch, ON_THE_TRIP + timedelta(minutes=minute))
        phone.get(here)
        opening = LinkOpening.objects.get(link=link)
        assert (opening.count, opening.at) == (openings, ON_THE_TRIP + timedelta(minutes=minute))


def test_made_twice_by_one_key_is_made_once(out: Rental, isla: Person) -> None:
    act = an_act(isla, at=ON_THE_TRIP)
    assert make_link(out, act=act) == make_link(out, act=act)
    assert CustomerLink.objects.count() == 1


def test_who_may_not_hand_it_out(out: Rental, inverlark: object) -> None:
    maeve = PersonFactory(username="maeve", role="coordinator")
    with pytest.raises(NotAllowed):
        make_link(out, act=an_act(maeve, at=ON_THE_TRIP))


def test_an_id_is_found_in_a_token(link: CustomerLink) -> None:
    assert link_id_in(token_of(link)) == link.pk
    assert link_id_in("nothing") is None
