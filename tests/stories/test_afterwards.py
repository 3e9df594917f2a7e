"""Months later: a bank claims money back, and a person wants their data gone."""

import json
from collections.abc import Callable
from datetime import date
from io import BytesIO, StringIO
from typing import Any
from zipfile import ZipFile

import pytest
from django.core.management import call_command
from django.test import Client

from fleet.models import Branch
from handover.counter.models import Objection
from handover.customer.models import CustomerLink, Noticed
from handover.customer.token import token_of
from handover.dispute.models import Bundle, Dispute
from handover.photo.models import Photo
from handover.record.actions import make_record
from handover.record.models import Record
from handover.rental.models import Driver, Rental
from handover.retention.models import ErasureRequest
from handover.retention.running import run
from handover.settlement.models import Movement
from handover.statement.models import Signature
from handover.walkround.models import Mark, Remark
from shared.access.models import Person
from shared.dates import dated
from shared.files.store import read
from shared.ids import uuid7
from shared.ledger.verifying import verify_all
from tests.retention import playing
from tests.retention.conftest import LONG_AFTER, SOON
from tests.retention.conftest import at as the_time_is
from tests.stories.conftest import It
from tests.stories.steps import (
    CAME_BACK,
    DOOR,
    begins_pickup,
    begins_return,
    browser_of,
    does,
    draws_up,
    explains_topics,
    finds,
    hands_over,
    latest,
    left_door,
    photographs,
    quotes,
    reads,
    sees,
    signs,
    takes_back,
)

pytestmark = pytest.mark.django_db


def test_chargeback_after_partial_refund(
    rental: Rental, isla: Person, callum: Person, ruth: Person, it_is: It, shots: tuple[bytes, bytes],
    after_commit: Callable[[], Any],
) -> None:  # fmt: skip
    """802.50 captured, 410.00 refunded, then the bank claims 802.50.

    The pack shows both, asks for 392.50 at most, and is one file with the pairs of photos, within the bank's time.
    """
    # Given a door that was photographed twice, estimated at 762.50 with 40.00 for handling: 802.50, captured
    view = left_door(rental)
    with after_commit():
        does(
            isla,
            "settlement-hold",
            rental.pk,
            method="card",
            amount="900.00",
            expires_on="2026-09-12",
            reference="AUTH 4417",
        )
        out = begins_pickup(isla, rental)
        photographs(isla, out, shots[0], of=view.pk)
        reads(isla, out, diesel="82", gas_front="11.7", odometer="66300 km")
        explains_topics(isla, out)
        hands_over(isla, out)
        it_is("18 Aug 2026 10:30")
        back = begins_return(callum, rental)
        reads(callum, back, **CAME_BACK)
        finds(callum, back, **DOOR)
        photographs(callum, back, shots[1], of=view.pk)
        takes_back(callum, back)
        quotes(callum, rental, Mark.objects.get(), "762.50")
        draws_up(callum, rental)
        signs(callum, rental)
    assert str(latest(rental).total) == "802.500"
    does(callum, "capture-hold", Movement.objects.get().pk, method="card", amount="802.50", reference="CAP 4417")

    # And an invoice of 352.50, so that 410.00 went back
    it_is("25 Aug 2026 10:00")
    does(ruth, "reopen-statement", latest(rental).pk, cause="invoice_difference", words="The workshop was cheaper.")
    quotes(callum, rental, Mark.objects.get(), "352.50", "invoice")
    with after_commit():
        signs(callum, rental)
    does(callum, "settlement-refund", rental.pk, method="card", amount="410.00", reference="REF 4417")

    # When the bank claims all of it back, to be answered within its days
    it_is("10 Sep 2026 10:00")
    claim = {"claimed": "802.50", "answer_by": "2026-09-20", "reason_code": "13.1", "words": "Not as described."}
    does(callum, "open-chargeback", rental.pk, **claim)
    dispute = Dispute.objects.get()
    for record in Record.objects.filter(state="waiting"):
        make_record.enqueue(str(record.pk))

    # Then the page shows both and asks for no more than what is still here
    page = sees(callum, "dispute", dispute.pk)
    for words in ("£802.50", "£410.00 of the claim went back already.", "£392.50"):
        assert words in page
    assert dispute.answer_by == date(2026, 9, 20)
    # And one file holds it all, made on the same day
    with after_commit():
        does(callum, "order-bundle", dispute.pk)
    bundle = Bundle.objects.get()
    answer = browser_of(callum).get(f"/dispute-bundle/{bundle.pk}/bundle.zip")
    with ZipFile(BytesIO(answer.content)) as pack:
        names = pack.namelist()
        assert pack.testzip() is None
    assert len(answer.content) <= bundle.limit_bytes
    assert any(name.endswith(".pdf") and "summary" in name for name in names)
    assert len([name for name in names if name.startswith("photos/")]) >= len(shots)
    assert bundle.ordered_at.date() <= dispute.answer_by


def test_privacy_request_with_open_dispute(
    inverlark: Branch, ruth: Person, after_commit: Callable[[], Any], client: Client
) -> None:
    """She demands that her data go while a line is contested.

    Evidence of the dispute is held, with the reason and the end; everything else goes, the settlement still comes out,
    and she gets a readable copy. Once the dispute is decided, the rest goes too.
    """
    # Given a settled rental with a word and a picture of everything, one line of which she contests from her phone
    shots = playing.shots()
    rental = playing.booked(inverlark, ruth)
    playing.gone(rental, ruth, shots)
    with the_time_is(playing.ON_TRIP):
        playing.noticed(rental, ruth, shots)
    with the_time_is(playing.LATER):
        statement = playing.back(rental, ruth, shots)
    words = "Maren Oduya: it was there when we took the van."
    rows = json.loads(statement.result)["lines"]
    number = next(place for place, row in enumerate(rows, start=1) if row["code"] == "DAMAGE")
    with the_time_is(SOON):
        here = f"/c/{token_of(CustomerLink.objects.get())}/statement/{number}/"
        assert client.post(here, {"key": str(uuid7()), "words": words}).status_code == 302
    dispute = Dispute.objects.get()
    customer = rental.customer

    # When she asks, then she gets a copy that can be read, and the same as JSON
    with the_time_is(SOON):
        text = sees(ruth, "person-data", customer.pk)
        said = browser_of(ruth).get(f"/customer/{customer.pk}/data/copy.json").content.decode()
    for word in (playing.NAME, playing.EMAIL, playing.REMARK, playing.NOTICED, playing.DRIVER, words):
        assert word in text
        assert word in said

    # When the deletion is ordered
    with the_time_is(SOON), after_commit():
        does(ruth, "erase-person", customer.pk)

    # Then the evidence of the dispute is held, with the reason and until when
    customer.refresh_from_db()
    dispute.refresh_from_db()
    assert (customer.name, dispute.words) == (playing.NAME, words)
    assert read(Photo.objects.get(view="left door").original)
    assert all(row.strokes for row in Signature.objects.filter(rental=rental))
    day = dated(dispute.answer_by)
    with the_time_is(SOON):
        text = sees(ruth, "person-data", customer.pk)
    assert f"Held: Dispute 1, Mark 1, left door, is open; it is to be answered by {day}. Until {day}." in text
    # And everything else is gone
    gone = "Erased 25 Aug 2026 on request"
    assert (Remark.objects.get().text, Noticed.objects.get().words, Objection.objects.get().words) == (gone,) * 3
    assert (customer.phone, set(Driver.objects.values_list("name", flat=True))) == ("", {gone})
    with pytest.raises(FileNotFoundError):
        read(Photo.objects.get(view="cab").original)
    # And the settlement still comes out, and the Ledger holds
    still_holds()

    # When it is decided, then the night takes the rest
    assert ErasureRequest.objects.get().done_at is None
    with the_time_is(SOON):
        does(ruth, "decide-dispute", dispute.pk, outcome="upheld", words="The photo of pickup shows no scratch.")
    with after_commit():
        told = run(now=LONG_AFTER, dry=False)
    assert [(row.problem, row.held) for row in told] == [("", [])]
    customer.refresh_from_db()
    assert customer.name == "Erased 5 Jan 2037 on request"
    still_holds()


def still_holds() -> None:
    """Every chain verifies, and every statement prices to the same bytes."""
    assert list(verify_all()) == []
    out = StringIO()
    call_command("reprice", "--processes", "1", stdout=out)
    assert out.getvalue().startswith("0 differences")
