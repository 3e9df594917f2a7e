"""A link by e-mail: what went, to whom, by whom; what did not, and why. The address can be erased."""

from smtplib import SMTPRecipientsRefused
from typing import Any

import pytest
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend
from django.db import connection
from django.test import Client

from handover.customer.actions import deliver, revoke_link, send_link
from handover.customer.models import CustomerLink, LinkDelivery
from handover.customer.token import token_of
from handover.rental.models import Customer
from shared.access.models import Person
from shared.ledger.models import Entry
from shared.ledger.personal import forget
from tests.customer.conftest import ON_THE_TRIP, key
from tests.factories import an_act

pytestmark = pytest.mark.django_db
TO = "maren.o@example.org"


@pytest.fixture
def send(as_isla: Client, link: CustomerLink, django_capture_on_commit_callbacks: Any) -> Any:
    def sending(to: str = TO, **said: str) -> Any:
        with django_capture_on_commit_callbacks(execute=True):
            return as_isla.post(f"/customer-link/{link.pk}/send/", {**key(), "to": to, **said})

    return sending


def test_it_goes_to_the_address(send: Any, link: CustomerLink) -> None:
    assert send().status_code == 302
    (letter,) = mail.outbox
    assert letter.to == [TO]
    assert f"/c/{token_of(link)}/" in letter.body
    assert "until 16 Nov 2026" in letter.body
    assert letter.subject == f"Your rental {link.rental.number} with Larkmoor Campers"


def test_it_is_written_in_the_customers_language(send: Any, link: CustomerLink) -> None:
    """Its words come from the catalog; its days already do."""
    Customer.objects.update(language="de")
    send()
    assert "16. Nov. 2026" in mail.outbox[0].body


def test_that_it_went_is_kept(send: Any, as_isla: Client, link: CustomerLink, isla: Person) -> None:
    send()
    delivery = LinkDelivery.objects.get()
    assert (delivery.state, delivery.by, delivery.problem) == ("sent", isla, "")
    text = as_isla.get(f"/rental/{link.rental_id}/customer/").text
    assert f"{TO}: sent" in text
    kinds = Entry.objects.filter(chain=link.rental_id).order_by("sequence").values_list("kind", flat=True)
    assert list(kinds)[-2:] == ["customer.link_mailed", "customer.link_sent"]


def test_why_it_did_not_go_is_kept(
    send: Any, as_isla: Client, link: CustomerLink, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(self: EmailBackend, messages: Any) -> int:
        raise SMTPRecipientsRefused({TO: (550, f"<{TO}>: no such mailbox".encode())})

    monkeypatch.setattr(EmailBackend, "send_messages", refuse)
    send()
    delivery = LinkDelivery.objects.get()
    assert delivery.state == "failed"
    assert "no such mailbox" in delivery.problem
    assert TO not in delivery.problem
    assert "The e-mail was not taken" in as_isla.get(f"/rental/{link.rental_id}/customer/").text
    assert Entry.objects.filter(kind="customer.link_not_sent", subject=delivery.pk).exists()


def test_the_address_is_in_no_ledger_and_can_be_erased(send: Any, as_isla: Client, link: CustomerLink) -> None:
    send()
    assert TO not in "".join(Entry.objects.values_list("payload", flat=True))
    assert forget(LinkDelivery.objects.get().address_digest)
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM handover_linkdelivery")
        assert TO not in str(cursor.fetchall())
    assert "address erased: sent" in as_isla.get(f"/rental/{link.rental_id}/customer/").text


def test_erased_before_it_went_it_does_not_go(link: CustomerLink, isla: Person) -> None:
    delivery = send_link(link, to=TO, act=an_act(isla, at=ON_THE_TRIP))
    forget(delivery.address_digest)
    deliver.call(str(delivery.pk))
    delivery.refresh_from_db()
    assert (delivery.state, mail.outbox) == ("failed", [])


def test_run_twice_it_goes_once(send: Any) -> None:
    send()
    deliver.call(str(LinkDelivery.objects.get().pk))
    assert len(mail.outbox) == 1


@pytest.mark.parametrize(
    ("to", "sentence"),
    [
        ("", "No e-mail address is known. Write it here."),
        ("maren", "This is no e-mail address"),
        ("a@example.org\nBcc: b@example.org", "This is no e-mail address"),
        (f"{'a' * 250}@example.org", "This is no e-mail address"),
    ],
)
def test_what_is_no_address(send: Any, to: str, sentence: str) -> None:
    answer = send(to)
    assert answer.status_code == 422
    assert sentence in answer.text
    assert not LinkDelivery.objects.exists()
    assert mail.outbox == []


def test_a_withdrawn_link_is_not_sent(send: Any, link: CustomerLink, isla: Person) -> None:
    revoke_link(link, act=an_act(isla, at=ON_THE_TRIP))
    assert "This link opens nothing any more." in send().text


def test_pressed_twice_it_goes_once(send: Any) -> None:
    once = key()
    for _ in range(2):
        send(**once)
    assert len(mail.outbox) == 1
