"""Import and export at the setting-up desk."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from fleet.models import Unit
from handover.rental.models import Rental
from tests.factories import UnitFactory
from tests.imports.conftest import booking_row, csv_of, unit_row


@pytest.fixture
def desk(client, maeve, unit_407):
    client.force_login(maeve)
    return client


def looked_through(client, kind, content):
    file = SimpleUploadedFile("rows.csv", content)
    return client.post(reverse(f"admin:{kind}_import"), {"import_file": file, "format": "0", "resource": "0"})


def confirmed(client, kind, preview):
    form = preview.context["confirm_form"]
    return client.post(reverse(f"admin:{kind}_process_import"), form.initial, follow=True)


def messages(page):
    return [str(message) for message in page.context["messages"]]


@pytest.mark.parametrize(
    ("kind", "content", "model"),
    [("fleet_unit", csv_of(unit_row()), Unit), ("handover_rental", csv_of(booking_row()), Rental)],
)
def test_rows_are_shown_first_and_then_imported(desk, kind, content, model):
    before = model.objects.count()
    preview = looked_through(desk, kind, content)
    assert b"1 row can go in" in preview.content
    assert model.objects.count() == before
    assert messages(confirmed(desk, kind, preview)) == ["Imported: 1 new."]
    assert model.objects.count() == before + 1


def test_every_bad_cell_is_shown_and_there_is_nothing_to_confirm(desk):
    page = looked_through(desk, "fleet_unit", csv_of(unit_row(odometer="9"), unit_row(number="140", branch="x")))
    assert "confirm_form" not in page.context
    text = page.content.decode()
    assert "9 names no unit. Write it as 41206 mi or 66314 km." in text
    assert "x is no branch of yours." in text
    assert "Nothing was imported" in text


def test_what_clashes_since_the_preview_keeps_all_out(desk, unit_407):
    rows = csv_of(unit_row(), unit_row(number="140", plate="LRK 140"))
    preview = looked_through(desk, "fleet_unit", rows)
    UnitFactory(number="999", plate="LRK 140")
    told = messages(confirmed(desk, "fleet_unit", preview))
    assert told == ["Line 3, plate: LRK 140 is another unit's plate. Each unit has its own.", "Nothing was imported."]
    assert not Unit.objects.filter(number="118").exists()


@pytest.mark.parametrize("content", [b"PK\x03\x04\xff\xfe", b"a,b\n1,2,3\n", b"number,plate\n"])
def test_a_file_that_is_not_one_is_told_at_the_field(desk, content):
    page = looked_through(desk, "fleet_unit", content)
    assert page.status_code == 200
    assert page.context["form"].errors["import_file"]


def test_a_file_that_was_not_shown_is_refused(desk):
    preview = looked_through(desk, "fleet_unit", csv_of(unit_row()))
    data = preview.context["confirm_form"].initial
    forged = data | {"import_file_name": data["import_file_name"][:-2] + "xx"}
    assert desk.post(reverse("admin:fleet_unit_process_import"), forged).status_code == 400
    assert not Unit.objects.filter(number="118").exists()


def test_only_own_rows_go_out(desk, client, ida):
    client.force_login(ida)
    assert client.get(reverse("admin:fleet_unit_export"), follow=True).status_code == 403


def test_units_go_out_as_csv(desk):
    page = desk.post(reverse("admin:fleet_unit_export"), {"format": "0", "resource": "0"})
    assert page["Content-Type"] == "text/csv"
    assert "407,LRK 407,,no,inverlark,skerry,66290 km,2024-05-13" in page.content.decode()


def test_an_administrator_sees_bookings_and_imports_none(client, anders, booked):
    client.force_login(anders)
    assert client.get(reverse("admin:handover_rental_changelist")).status_code == 200
    assert client.get(reverse("admin:handover_rental_import")).status_code == 403
