"""Privacy request with open dispute.

Given the hirer demands deletion, when a dispute is open, then disputed evidence is held with the reason and end date,
everything else is erased, the settlement still recalculates, and the person gets a readable copy.
"""

from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client

from handover.acting import AnyonesAct
from handover.counter.models import Objection
from handover.customer.models import CustomerLink, Noticed
from handover.dispute.actions import Verdict, decide, open_dispute
from handover.dispute.line import StatementLine
from handover.dispute.models import Dispute
from handover.photo.models import Photo
from handover.rental.models import Customer, Driver, Rental
from handover.retention.models import ErasureRequest
from handover.retention.running import run
from handover.statement.models import Signature, Statement
from handover.walkround.models import Remark
from shared.access.models import Person
from shared.dates import dated
from shared.files.store import read
from shared.ids import uuid7
from shared.ledger.verifying import verify_all
from tests.factories import an_act
from tests.retention import playing
from tests.retention.conftest import LONG_AFTER, SOON, at

pytestmark = pytest.mark.django_db
DOOR, WORDS = "Mark 1, left door", "Maren Oduya: it was there when we took the van."


@pytest.fixture
def disputed(statement: Statement) -> Dispute:
    with at(SOON):
        return open_dispute(
            StatementLine(statement, "DAMAGE", DOOR, DOOR), words=WORDS, by_customer=True,
            act=AnyonesAct(by=None, at=SOON, key=uuid7()),
        )  # fmt: skip


@pytest.fixture
def manager(client: Client, ruth: Person) -> Client:
    client.force_login(ruth)
    return client


def demands_deletion(manager: Client, customer: Customer, after_commit: Any) -> None:
    with at(SOON), after_commit():
        answer = manager.post(f"/customer/{customer.pk}/erase/", {"key": str(uuid7())})
    assert answer.status_code == 302


def test_privacy_request_with_open_dispute(
    disputed: Dispute, settled: Rental, manager: Client, ruth: Person, after_commit: Any
) -> None:
    customer = settled.customer
    page, copy = f"/customer/{customer.pk}/data/", f"/customer/{customer.pk}/data/copy.json"

    # The person gets a readable copy, and the same as JSON.
    with at(SOON):
        text, said = manager.get(page).text, manager.get(copy).content.decode()
    for word in (playing.NAME, playing.EMAIL, playing.REMARK, playing.NOTICED, playing.DRIVER, WORDS):
        assert word in said
        assert word in text

    demands_deletion(manager, customer, after_commit)

    # Disputed evidence is held, with the reason and the end date.
    disputed.refresh_from_db()
    customer.refresh_from_db()
    assert (customer.name, customer.email, disputed.words) == (playing.NAME, playing.EMAIL, WORDS)
    assert all(row.strokes for row in Signature.objects.filter(rental=settled))
    assert read(Photo.objects.get(view="left door").original)
    with at(SOON):
        text = manager.get(page).text
    day = dated(disputed.answer_by)
    assert f"Held: Dispute 1, Mark 1, left door, is open; it is to be answered by {day}. Until {day}." in text
    assert "Its evidence stays, row by row." in text

    # Everything else is erased.
    gone = "Erased 25 Aug 2026 on request"
    assert (Remark.objects.get().text, Noticed.objects.get().words, Objection.objects.get().words) == (gone,) * 3
    assert (customer.phone, set(Driver.objects.values_list("name", flat=True))) == ("", {gone})
    with pytest.raises(FileNotFoundError):
        read(Photo.objects.get(view="cab").original)
    # The customer's own link stays open: they still need it for the dispute.
    assert CustomerLink.objects.get().revoked_at is None

    # The settlement still recalculates, and the Ledger holds.
    holds_and_prices_again()

    # Once the dispute is decided, the night takes the rest.
    assert ErasureRequest.objects.get().done_at is None
    with at(SOON):
        decide(disputed, Verdict("upheld", "The photo of pickup shows no scratch."), act=an_act(ruth, at=SOON))
    with after_commit():
        (told,) = run(now=LONG_AFTER, dry=False)
    assert (told.problem, told.held) == ("", [])
    assert Customer.objects.get().name == "Erased 5 Jan 2037 on request"
    assert Dispute.objects.get().words == "Erased 5 Jan 2037 on request"
    assert ErasureRequest.objects.get().done_at == LONG_AFTER
    holds_and_prices_again()


def holds_and_prices_again() -> None:
    assert list(verify_all()) == []
    out = StringIO()
    call_command("reprice", "--processes", "1", stdout=out)
    assert out.getvalue().startswith("0 differences")


def test_asked_twice_is_one_request(settled: Rental, manager: Client, after_commit: Any) -> None:
    key = str(uuid7())
    for _press in range(2):
        with at(SOON), after_commit():
            manager.post(f"/customer/{settled.customer_id}/erase/", {"key": key})
    assert ErasureRequest.objects.count() == 1
    assert settled.erasures.count() == 1


def test_without_a_dispute_all_goes_at_once_but_photos_of_the_vehicle(
    settled: Rental, manager: Client, after_commit: Any
) -> None:
    demands_deletion(manager, settled.customer, after_commit)
    assert Customer.objects.get().name == "Erased 25 Aug 2026 on request"
    assert ErasureRequest.objects.get().done_at == SOON
    assert CustomerLink.objects.get().revoked_at == SOON
    assert read(Photo.objects.get(view="left door").original)
    with at(SOON):
        text = manager.get(f"/customer/{settled.customer_id}/data/").text
    assert "shows the vehicle: goes 16 Aug 2032 by schedule" in text
