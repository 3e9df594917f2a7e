"""The tanks of a branch and one of them, as the coordinator and a host see them."""

from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from consumables.models import Fill, TankCurve
from fleet.models import Instrument, Unit
from handover.tank.actions import PumpReceipt, record_fill
from shared.access.models import Person
from shared.ids import uuid7
from tests.consumables.made import D
from tests.factories import UnitFactory, an_act
from tests.photos.pictures import quarters
from tests.tank.conftest import Filling

MOST = 16
TYPED = {"before": "1/2", "litres": "37", "after": "Full", "to_click": "on", "cost": "59.94"}


def picture() -> bytes:
    data = BytesIO()
    quarters().save(data, "JPEG")
    return data.getvalue()


def tank(name: str = "tank-of") -> str:
    return reverse(name, args=["407", "diesel"])


def test_without_receipts_it_is_a_straight_line(as_maeve: Client, diesel: Instrument) -> None:
    page = as_maeve.get(reverse("tank", args=["407"])).text
    assert "No receipts yet: the gauge counts as a straight line." in page
    assert "Use this curve" not in page


def test_the_curve_is_drawn_and_said_in_litres(as_maeve: Client, filling: Filling) -> None:
    filling(30)
    page = as_maeve.get(tank()).text
    assert page.count('class="dot"') == 30 + 1  # and one in the legend
    assert '<td class="n">45.0</td><td class="n">52.' in page
    assert "By 30 receipts it is up to" in page
    assert "Use this curve from now on" in page


def test_a_strange_receipt_is_told_with_its_day(
    as_maeve: Client, filling: Filling, unit_407: Unit, diesel: Instrument, isla: Person
) -> None:
    filling(20)
    strange = PumpReceipt(D("0.75"), D(1), D("60.00"), to_click=True)
    record_fill(unit=unit_407, instrument=diesel, receipt=strange, act=an_act(isla))
    page = as_maeve.get(tank()).text
    assert "14 Aug: The receipt has 60.0 L; by the gauge it was" in page
    assert "set aside" in page
    assert "The receipt has 60.0 L" in as_maeve.get(reverse("tanks", args=["inverlark"])).text


def test_putting_it_to_use(as_maeve: Client, filling: Filling) -> None:
    filling(30)
    answer = as_maeve.post(tank("use-curve"), {"key": uuid7(), "seen": "30"})
    assert answer.status_code == 302
    page = as_maeve.get(tank()).text
    assert "by 30 receipts. Maeve C. put it to use." in page
    assert "Back to the straight line" in page
    as_maeve.post(tank("use-straight-line"), {"key": uuid7()})
    assert "The straight line: as many litres" in as_maeve.get(tank()).text


@pytest.mark.parametrize("seen", ["29", "", "many"])
def test_another_curve_than_was_looked_at(as_maeve: Client, filling: Filling, seen: str) -> None:
    filling(30)
    answer = as_maeve.post(tank("use-curve"), {"key": uuid7(), "seen": seen})
    assert answer.status_code == 422
    assert "Look at the curve again" in answer.text
    assert not TankCurve.objects.exists()


def test_straight_already(as_maeve: Client, diesel: Instrument) -> None:
    assert "straight line already" in as_maeve.post(tank("use-straight-line"), {"key": uuid7()}).text


def test_a_host_keeps_a_fill_with_its_receipt(as_isla: Client, diesel: Instrument) -> None:
    photo = SimpleUploadedFile("receipt.jpg", picture(), "image/jpeg")
    assert as_isla.post(tank("record-fill"), {"key": uuid7(), **TYPED, "photo": photo}).status_code == 302
    fill = Fill.objects.get()
    assert (fill.before, fill.after, fill.litres, fill.to_click) == (D("0.5"), 1, 37, True)
    page = as_isla.get(tank()).text
    assert "£59.94" in page
    assert "Use this curve" not in page
    assert as_isla.get(reverse("fill-receipt", args=[fill.pk]))["Content-Type"] == "image/jpeg"


def test_gallons_and_a_third_of_the_gauge(as_isla: Client, diesel: Instrument) -> None:
    as_isla.post(tank("record-fill"), {"key": uuid7(), "before": "1/3", "litres": "10 US gal", "after": "80 %"})
    fill = Fill.objects.get()
    assert (fill.before, fill.litres, fill.after) == (D("0.33333"), D("37.85"), D("0.8"))


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"before": "much"}, "is no figure"),
        ({"before": "1"}, "like 5/8, or in percent"),
        ({"before": ""}, "Say where the gauge stood before."),
        ({"litres": "10 gal"}, "Write US gal or imp gal"),
        ({"litres": "120"}, "120 L do not go into 90 L"),
        ({"after": "130 %"}, "from empty to full"),
    ],
)
def test_what_cannot_be_is_said_and_stays_typed(
    as_isla: Client, diesel: Instrument, typed: dict[str, str], sentence: str
) -> None:  # fmt: skip
    answer = as_isla.post(tank("record-fill"), {"key": uuid7(), **TYPED, **typed})
    assert answer.status_code == 422
    assert sentence in answer.text
    assert 'value="59.94"' in answer.text


def test_a_file_that_is_no_photo(as_isla: Client, diesel: Instrument) -> None:
    sent = {**TYPED, "photo": SimpleUploadedFile("receipt.pdf", b"%PDF-1.7")}
    answer = as_isla.post(tank("record-fill"), {"key": uuid7(), **sent})
    assert answer.status_code == 422
    assert not Fill.objects.exists()


def test_a_unit_or_tank_that_is_not_there(as_maeve: Client, diesel: Instrument) -> None:
    for args in (["999"], ["407", "odometer"]):
        assert as_maeve.get(reverse("tank-of" if len(args) > 1 else "tank", args=args)).status_code == 404


def test_the_list_takes_as_many_queries_for_more_units(as_maeve: Client, filling: Filling) -> None:
    filling(5)
    counts = []
    for number in ("408", "409"):
        UnitFactory(number=number)
        with CaptureQueriesContext(
            connection,
        ) as queries:
            as_maeve.get(reverse("tanks", args=["inverlark"]))
        counts.append(len(queries))
    assert counts[0] == counts[1] <= MOST


def test_the_page_takes_as_many_queries_for_more_receipts(as_maeve: Client, filling: Filling) -> None:
    counts = []
    for _ in range(2):
        filling(4)
        with CaptureQueriesContext(connection) as queries:
            as_maeve.get(tank())
        counts.append(len(queries))
    assert counts[0] == counts[1] <= MOST


def test_a_curve_for_a_layout_is_entered_by_hand(
    client: Client, anders: Person, unit_407: Unit, diesel: Instrument
) -> None:
    client.force_login(anders)
    typed = {"layout": unit_407.layout_id, "code": "diesel", "valid_from": "2026-08-01", "learned_from": "60"}
    add = reverse("admin:consumables_tankcurve_add")
    assert "never falls" in client.post(add, typed | {"litres": "[0, 50, 40, 90]"}).text
    assert client.post(add, typed | {"litres": "[0, 53.5, 90]"}).status_code == 302
    assert TankCurve.objects.get().litres == ["0", "53.5", "90"]
    assert client.get(reverse("admin:consumables_fill_changelist")).status_code == 200


def test_a_full_tank_at_15_degrees_is_for_information(as_isla: Client, diesel: Instrument) -> None:
    """Table 54B by hand, 835 kg/m³ filled at 30 °C: a = 186.9696 / 835² + 0.4862 / 835 = 0.000850;
    exp(-a · 15 · (1 + 0.8 · a · 15)) = 0.9872, of 90 L 88.85 L.
    """
    page = as_isla.get(tank()).text
    assert '<td class="n">90.0</td><td class="n">88.8</td>' in page
    assert "nothing is charged by these" in page
