"""The money of a rental and the settlements of a branch, as people see and press them."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from fleet.models import Branch
from handover.rental.models import Rental
from handover.settlement.models import Movement
from shared.access.models import Person
from shared.ids import uuid7
from tests.factories import BACK_AT, RentalFactory, UnitFactory

pytestmark = pytest.mark.django_db
MOST = 15
Held = Callable[..., Movement]


@pytest.fixture
def as_callum(client: Client, callum: Person) -> Client:
    client.force_login(callum)
    return client


def post(client: Client, name: str, pk: Any, **said: Any) -> Any:
    return client.post(reverse(name, args=[pk]), {"key": uuid7(), **said})


def lapses() -> str:
    return (timezone.localdate() + timedelta(days=20)).isoformat()


def test_a_deposit_is_noted_as_held(as_callum: Client, back: Rental) -> None:
    page = as_callum.get(reverse("settlement", args=[back.pk]))
    assert "£500.00 of the agreed deposit is not noted as held" in page.text
    said = {"amount": "500.00", "method": "card", "reference": "AUTH 4417", "expires_on": lapses()}
    assert post(as_callum, "settlement-hold", back.pk, **said).status_code == 302
    assert "is not noted as held" not in as_callum.get(reverse("settlement", args=[back.pk])).text


def test_a_card_number_is_refused_and_kept_nowhere(as_callum: Client, back: Rental) -> None:
    said = {"amount": "500.00", "method": "card", "reference": "4000 0012 3456 7899", "expires_on": lapses()}
    answer = post(as_callum, "settlement-hold", back.pk, **said)
    assert answer.status_code == 422
    assert "This looks like a card number, and none is kept here." in answer.text
    assert not Movement.objects.exists()


def test_captured_paid_and_done(as_callum: Client, settled: Rental) -> None:
    said = {"amount": "100.00", "method": "cash"}
    post(as_callum, "settlement-hold", settled.pk, **said)
    post(as_callum, "capture-hold", Movement.objects.get().pk, **said)
    post(as_callum, "settlement-pay", settled.pk, amount="54.07", method="cash")
    page = as_callum.get(reverse("settlement", args=[settled.pk]))
    assert "What moved is what the Statement says." in page.text


def test_what_cannot_be_stands_beside_what_is_to_be_done(as_callum: Client, settled: Rental, held: Held) -> None:
    answer = post(as_callum, "capture-hold", held(settled, days=400).pk, amount="400.00", method="card")
    assert answer.status_code == 422
    assert "Only £154.07 is still to collect." in answer.text


def test_a_refund_without_need_is_refused(as_callum: Client, settled: Rental) -> None:
    assert "Only £0.00 is to be paid back" in post(
        as_callum, "settlement-refund", settled.pk, amount="1", method="cash"
    ).text  # fmt: skip


def test_the_branch_shows_what_is_open(as_callum: Client, settled: Rental, inverlark: Branch) -> None:
    page = as_callum.get(reverse("settlements", args=[inverlark.code]))
    assert settled.number in page.text
    assert "£154.07" in page.text
    post(as_callum, "settlement-pay", settled.pk, amount="154.07", method="card", reference="SLIP 2")
    assert "Nothing is open." in as_callum.get(reverse("settlements", args=[inverlark.code])).text


@pytest.mark.parametrize(("days", "words"), [(12, "lapsed on 30 Aug 2026"), (4000, "back since 18 Aug 2026")])
def test_deposits_held_too_long(
    as_callum: Client, back: Rental, held: Held, inverlark: Branch, days: int, words: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    held(back, days=days)
    monkeypatch.setattr(timezone, "now", lambda: BACK_AT + timedelta(days=20))
    assert words in as_callum.get(reverse("settlements", args=[inverlark.code])).text


def test_a_long_list_says_how_many_there_are(
    as_callum: Client, settled: Rental, held: Held, inverlark: Branch, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("handover.settlement.queries.MOST_SHOWN", 1)
    for number in range(2):
        gone = RentalFactory(leg=UnitFactory(number=f"6{number}"))
        held(gone, days=400)
        Rental.objects.filter(pk=gone.pk).update(state=Rental.State.CANCELLED)
    page = as_callum.get(reverse("settlements", args=[inverlark.code])).text
    assert "The first 1 of 2 are shown. The others stand here once these are done." in page


def test_a_download(as_callum: Client, settled: Rental, inverlark: Branch) -> None:
    address = reverse("settlements-export", args=[inverlark.code])
    answer = as_callum.get(address, {"start": "2026-08-01", "end": "2026-08-31", "format": "csv"})
    assert answer["Content-Disposition"] == ('attachment; filename="settlements-inverlark-2026-08-01-2026-08-31.csv"')
    assert answer["Cache-Control"] == "no-store"
    assert f"{settled.number},1,line,FUEL" in answer.text


def test_a_download_of_swapped_days_says_so(as_callum: Client, inverlark: Branch) -> None:
    address = reverse("settlements-export", args=[inverlark.code])
    answer = as_callum.get(address, {"start": "2026-08-31", "end": "2026-08-01", "format": "csv"})
    assert (answer.status_code, "The two may be swapped." in answer.text) == (422, True)


def queries(client: Client, address: str) -> int:
    with CaptureQueriesContext(connection) as asked:
        assert client.get(address).status_code == 200
    return len(asked)


def test_no_page_asks_more_because_more_moved(
    as_callum: Client, settled: Rental, held: Held, inverlark: Branch
) -> None:  # fmt: skip
    for number in range(5):
        held(settled, days=400)
        held(RentalFactory(leg=UnitFactory(number=f"6{number}")), days=400)
    assert queries(as_callum, reverse("settlement", args=[settled.pk])) <= MOST
    assert queries(as_callum, reverse("settlements", args=[inverlark.code])) <= MOST
