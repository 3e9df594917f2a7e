"""The page of a trip and its small forms, as people see and press them."""

from datetime import UTC, date, datetime
from io import BytesIO
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from fleet.models import Branch, DueDate, Unit
from handover.rental.models import Rental
from handover.trip.models import Extension, GasReceipt, Notice, OperatorWait, Swap, TripPhoto
from shared.access.models import Person
from shared.ids import uuid7
from tests.factories import an_act
from tests.photos.pictures import quarters
from tests.trip.conftest import DAY_3
from tests.trip.test_every_act import DEEDS, LATER

pytestmark = pytest.mark.django_db
MOST = 15
GOOD = {
    "trip-extension": {"new_return_at": "2026-08-19T11:00", "days": "1", "day_rate": "96.00", "channel": "phone",
                       "agreed_at": "2026-08-16T15:00", "confirmed": "no"},
    "trip-fault": {"reported_at": "2026-08-16T15:00", "system": "fridge", "symptom": "Stays warm.", "drivable": "yes",
                   "odometer": "41500"},
    "trip-roadside": {"case_reference": "RA-77", "arrived_at": "2026-08-16T15:00", "diagnosis": "dead cell",
                      "cause": "not_known", "distance": "12.5"},
    "trip-receipt": {"ref": "receipt 1", "bought_at": "2026-08-16T15:00", "amount": "38.90", "currency": "gbp",
                     "reason": "empty", "operator_fault": "yes"},
    "trip-wait": {"start": "2026-08-16T15:00", "until": "2026-08-16T16:00", "cause": "tow"},
    "trip-stop": {"at": "2026-08-16T15:00", "cause": "theft_report", "reference": "P 12"},
    "trip-displaced": {"at": "2026-08-16T15:00", "cost": "90.00", "proof": "hotel invoice 12"},
    "trip-excess": {"excess": "500.00", "price": "60.00", "bought_at": "2026-08-16T15:00",
                    "from_at": "2026-08-16T15:00"},
    "trip-notice": {"kind": "fine", "ref": "PCN 4711", "authority": "Glen Council", "plate": "LRK 407",
                    "at": "2026-08-16T15:00", "zone": "Europe/London", "amount": "60.00", "received_on": "2026-08-16",
                    "handling": "paid_by_operator", "operator_caused": "no"},
}  # fmt: skip
forms = pytest.mark.parametrize("name", sorted(GOOD))


@pytest.fixture(autouse=True)
def _at_four(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is 16 August, 17:00 on the branch's clock."""
    monkeypatch.setattr(timezone, "now", lambda: datetime(2026, 8, 16, 16, tzinfo=UTC))


def send(client: Client, name: str, pk: Any, **said: Any) -> Any:
    return client.post(reverse(name, args=[pk]), {"key": uuid7(), **said})


@forms
def test_a_form_is_shown_and_kept(as_isla: Client, out: Rental, name: str) -> None:
    assert as_isla.get(reverse(name, args=[out.pk])).status_code == 200
    answer = send(as_isla, name, out.pk, **GOOD[name])
    assert (answer.status_code, answer.headers.get("Location")) == (302, reverse("trip", args=[out.pk]))
    assert "Nothing noted." not in as_isla.get(reverse("trip", args=[out.pk])).text


@forms
def test_what_is_missing_is_said_and_nothing_is_kept(as_isla: Client, out: Rental, name: str) -> None:
    answer = send(as_isla, name, out.pk)
    assert answer.status_code == 422
    assert "Not kept yet." in answer.text
    assert "Nothing noted." in as_isla.get(reverse("trip", args=[out.pk])).text


@forms
def test_pressing_twice_keeps_it_once(as_isla: Client, out: Rental, name: str) -> None:
    key = uuid7()
    for _ in range(2):
        assert send(as_isla, name, out.pk, **GOOD[name] | {"key": key}).status_code == 302
    assert as_isla.get(reverse("trip", args=[out.pk])).text.count("<h3>") == 1


def test_times_are_the_branch_s(as_isla: Client, out: Rental) -> None:
    send(as_isla, "trip-wait", out.pk, **GOOD["trip-wait"])
    assert OperatorWait.objects.get().at == datetime(2026, 8, 16, 14, tzinfo=UTC)


def test_what_an_action_refuses_stands_at_its_field(as_isla: Client, out: Rental) -> None:
    answer = send(as_isla, "trip-extension", out.pk, **GOOD["trip-extension"] | {"new_return_at": "2026-08-18T11:00"})
    assert answer.status_code == 422
    assert "The return is planned for 18 Aug 2026 11:00 already." in answer.text
    assert 'value="96.00"' in answer.text


def test_a_swap_goes_on_with_the_walk_round(as_isla: Client, out: Rental, unit_118: Unit) -> None:
    said = {"unit": unit_118.pk, "at": "2026-08-16T15:00", "cause": "operator", "reason": "Engine", "place": "Glen Ure",
            "mode": "absent"}  # fmt: skip
    answer = send(as_isla, "trip-swap", out.pk, **said)
    walk = Swap.objects.get().from_leg.walk_rounds.get(kind="return")
    assert answer.headers["Location"] == reverse("walk", args=[walk.pk])
    assert "swapped while it is out" in send(as_isla, "trip-swap", out.pk, **said).text


def test_a_swap_from_the_first_form_to_the_road_again(as_isla: Client, out: Rental, unit_118: Unit) -> None:
    said = {"unit": unit_118.pk, "at": "2026-08-16T15:00", "cause": "operator", "reason": "Engine", "place": "Glen Ure",
            "mode": "absent"}  # fmt: skip
    send(as_isla, "trip-swap", out.pk, **said)
    walk = Swap.objects.get().from_leg.walk_rounds.get(kind="return")
    after = as_isla.post(reverse("take-back", args=[walk.pk]), {"key": uuid7()})
    assert after.headers["Location"] == reverse("rental", args=[out.pk])
    assert "Begin pickup of unit 118" in as_isla.get(reverse("rental", args=[out.pk])).text
    send(as_isla, "begin-pickup", out.pk)
    out.refresh_from_db()
    assert (out.state, out.legs.last().walk_rounds.get().kind) == ("pickup", "pickup")


def picture() -> SimpleUploadedFile:
    data = BytesIO()
    quarters().save(data, "JPEG")
    return SimpleUploadedFile("receipt.jpg", data.getvalue(), "image/jpeg")


def test_a_receipt_comes_with_its_photo(as_isla: Client, out: Rental) -> None:
    send(as_isla, "trip-receipt", out.pk, **GOOD["trip-receipt"], photo=picture())
    photo = TripPhoto.objects.get()
    assert photo.event == GasReceipt.objects.get().pk
    assert reverse("trip-photo", args=[photo.pk]) in as_isla.get(reverse("trip", args=[out.pk])).text
    assert as_isla.get(reverse("trip-photo-thumb", args=[photo.pk]))["Content-Type"] == "image/jpeg"


def test_what_is_no_photo_keeps_nothing(as_isla: Client, out: Rental) -> None:
    fake = SimpleUploadedFile("receipt.jpg", b"GIF89a", "image/jpeg")
    assert send(as_isla, "trip-receipt", out.pk, **GOOD["trip-receipt"], photo=fake).status_code == 422
    assert not GasReceipt.objects.exists()


def test_the_photo_of_another_branch_is_not_there(as_isla: Client, out: Rental, ida: Person) -> None:
    send(as_isla, "trip-receipt", out.pk, **GOOD["trip-receipt"], photo=picture())
    as_isla.force_login(ida)
    assert as_isla.get(reverse("trip-photo", args=[TripPhoto.objects.get().pk])).status_code == 404


def test_confirming_on_the_page(as_isla: Client, out: Rental) -> None:
    send(as_isla, "trip-extension", out.pk, **GOOD["trip-extension"])
    extension = Extension.objects.get()
    assert send(as_isla, "confirm-extension", extension.pk).status_code == 302
    assert "was confirmed on" in send(as_isla, "confirm-extension", extension.pk).text


def test_the_customer_is_told_on_the_page(as_isla: Client, out: Rental) -> None:
    send(as_isla, "trip-notice", out.pk, **GOOD["trip-notice"])
    notice = Notice.objects.get()
    assert send(as_isla, "notice-told", notice.pk, customer_told_on="").status_code == 422
    assert send(as_isla, "notice-told", notice.pk, customer_told_on="2026-08-16").status_code == 302
    notice.refresh_from_db()
    assert notice.customer_told_on == date(2026, 8, 16)


def test_a_branch_s_notice_finds_its_rental(as_isla: Client, out: Rental, inverlark: Branch) -> None:
    assert as_isla.get(reverse("notice", args=[inverlark.code])).status_code == 200
    answer = send(as_isla, "notice", inverlark.code, **GOOD["trip-notice"])
    assert answer.headers["Location"] == reverse("trip", args=[out.pk])


def test_an_hour_that_came_twice_is_asked_about(as_isla: Client, inverlark: Branch, out: Rental) -> None:
    said = GOOD["trip-notice"] | {"at": "2025-10-26T01:30"}
    answer = send(as_isla, "notice", inverlark.code, **said)
    assert "01:30 on 26 October 2025 came twice" in answer.text
    assert 'name="at_which" aria-label="Which of the two" aria-invalid="true"' in answer.text
    again = send(as_isla, "notice", inverlark.code, **said | {"at_which": "1"})
    assert "was in the yard on 26 Oct 2025 01:30" in again.text


def test_the_clocks_of_the_place_count(as_isla: Client, out: Rental, inverlark: Branch) -> None:
    """16:00 in Paris is 14:00 UTC."""
    said = GOOD["trip-notice"] | {"at": "2026-08-16T16:00", "zone": "Europe/Paris"}
    send(as_isla, "notice", inverlark.code, **said)
    assert Notice.objects.get().at == DAY_3


def test_a_zone_that_is_none_says_so(as_isla: Client, out: Rental, inverlark: Branch) -> None:
    answer = send(as_isla, "notice", inverlark.code, **GOOD["trip-notice"] | {"zone": "Glen"})
    assert "is no time zone" in answer.text


def test_what_ends_before_the_planned_return_is_said(as_isla: Client, out: Rental, unit_407: Unit) -> None:
    DueDate.objects.create(unit=unit_407, kind="tyres", due_on=date(2026, 8, 17))
    assert "Unit 407: tyres is due on 17 Aug, on this trip." in as_isla.get(reverse("trip", args=[out.pk])).text


def test_a_role_that_only_reads_is_offered_nothing(client: Client, out: Rental, anders: Person) -> None:
    client.force_login(anders)
    assert "Your role reads this page." in client.get(reverse("trip", args=[out.pk])).text


def test_it_asks_no_more_however_much_happened(as_isla: Client, out: Rental, isla: Person, unit_118: Unit) -> None:
    swap = next(deed for deed in DEEDS if deed.kind == "trip.swap_begun")
    for deed in [*(deed for deed in DEEDS if deed is not swap), swap]:
        deed.do(out, an_act(isla, at=LATER))
    with CaptureQueriesContext(connection) as asked:
        page = as_isla.get(reverse("trip", args=[out.pk]))
    assert page.text.count("<h3>") == len(DEEDS)
    assert len(asked) <= MOST


@forms
def test_a_form_asks_few_questions(as_isla: Client, out: Rental, name: str) -> None:
    with CaptureQueriesContext(connection) as asked:
        as_isla.get(reverse(name, args=[out.pk]))
    assert len(asked) <= MOST
