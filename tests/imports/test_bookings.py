# ruff: noqa: E501 (a bad cell and its sentence belong on one line)
from datetime import UTC, datetime

import pytest

from fleet.imports.reading import read_csv
from handover.rental.imports import BookingResource
from handover.rental.models import Rental
from shared.ledger.models import Entry
from tests.imports.conftest import booking_row, csv_of, told


def test_a_good_row_is_booked_by_the_action(take_bookings):
    assert told(take_bookings(booking_row(extras="fuel-20; gas"))) == []
    rental = Rental.objects.get()
    assert (rental.outside_reference, rental.customer.name, rental.legs.get().unit.number) == (
        "B-1",
        "Noor Halabi",
        "407",
    )
    assert rental.planned_out_at == datetime(2027, 8, 18, 14, 15, tzinfo=UTC)
    assert {extra.name for extra in rental.extras.all()} == {"20 L of fuel prepaid", "Gas prepaid"}
    assert Entry.objects.get(chain=rental.pk).kind == "rental.booked"


def test_extras_count_as_bought_by_the_pickup(take_bookings):
    """A file that comes in after the pickup was planned still tells of Extras sold with the booking."""
    row = booking_row(planned_out_at="2025-08-18 10:00", planned_back_at="2025-08-20 10:00", extras="gas")
    take_bookings(row)
    rental = Rental.objects.get()
    assert rental.extras.get().purchased_at == rental.planned_out_at


@pytest.mark.parametrize(
    ("cells", "column", "sentence"),
    [
        ({"reference": ""}, "reference", "Nothing is written here. The booking's own number keeps it from coming in twice."),
        ({"branch": "inverlak"}, "branch", "inverlak is no branch of yours. Known: inverlark, port-averil. inverlark may be meant."),
        ({"customer": " "}, "customer", "Nothing is written here. Write the name."),
        ({"email": "noor@"}, "email", "noor@ is no e-mail address as name@example.org. It can also be empty."),
        ({"language": "English"}, "language", "English is no language as en, de or fr-CA."),
        ({"unit": "470"}, "unit", "470 is no unit at Inverlark. Known: 407, 512. 407 may be meant."),
        ({"unit": "LRK 407"}, "unit", "LRK 407 is a plate. Write the number of the unit: 407."),
        ({"planned_out_at": "18.8.2027"}, "planned_out_at", "18.8.2027 is no date and time as 2026-08-18 10:00, local time of the branch."),
        ({"planned_out_at": "2027-08-18"}, "planned_out_at", "2027-08-18 is no date and time as 2026-08-18 10:00, local time of the branch."),
        ({"planned_out_at": "2027-03-28 01:30"}, "planned_out_at", "01:30 on 28 March 2027 did not come in Europe/London: the clocks went forward over it. 00:30 or 02:30 may be meant."),
        ({"planned_out_at": "2026-10-25 01:30"}, "planned_out_at", "01:30 on 25 October 2026 came twice in Europe/London, because the clocks went back. Say whether the first (UTC+1) or the second (UTC) is meant. Write the offset behind it, as in 2026-10-25 01:30+01:00."),
        ({"planned_out_at": "2027-08-18 15:15+02:00"}, "planned_out_at", "2027-08-18 15:15+02:00 has not the offset of Europe/London. 2027-08-18 14:15+01:00 is the same moment."),
        ({"planned_back_at": "0027-08-24 10:00"}, "planned_back_at", "0027 is no year of a rental. Write the year with four figures, such as 2026."),
        ({"planned_back_at": "2027-08-17 10:00"}, "planned_back_at", "The return lies before the pickup. Give a later return."),
        ({"planned_back_at": ""}, "planned_back_at", "Nothing is written here. Write the local time of the branch as 2026-08-18 10:00."),
        ({"charged_days": "0"}, "charged_days", "0 cannot be. 1 or more can."),
        ({"charged_days": "6.5"}, "charged_days", "6.5 is no whole number. Write 1 or more, such as 4."),
        ({"excess": "1500.005"}, "excess", "1500.005 has 3 decimals, GBP has 2."),
        ({"excess": "1.500,00"}, "excess", "1.500,00 is no amount. Write figures and a point, such as 500.00."),
        ({"deposit_held": "-1"}, "deposit_held", "-1 is below zero. Write 0 or more."),
        ({"extras": "gas;feul-20"}, "extras", "feul-20 is no Extra at Inverlark. Known: fuel-20, gas. fuel-20 may be meant."),
        ({"extras": "gas;gas"}, "extras", "gas is written twice. Each Extra is bought once."),
    ],
)  # fmt: skip
def test_a_bad_cell_is_told_in_a_sentence(take_bookings, cells, column, sentence):
    assert told(take_bookings(booking_row(**cells))) == [(2, column, sentence)]


def test_one_bad_row_keeps_all_out(take_bookings):
    good, bad = booking_row(), booking_row(reference="B-2", unit="512", customer="", excess="x")
    result = take_bookings(good, bad)
    assert [(line, column) for line, column, _ in told(result)] == [(3, "customer"), (3, "excess")]
    assert not Rental.objects.exists()
    assert not Entry.objects.exists()


def test_two_rows_that_want_the_same_unit_at_once(take_bookings):
    result = take_bookings(booking_row(), booking_row(reference="B-2"))
    ((line, column, sentence),) = told(result)
    assert (line, column) == (3, "unit")
    assert sentence.startswith("Unit 407 is out for LK-")


def test_a_reference_twice_in_the_file_or_here_already(take_bookings):
    result = take_bookings(booking_row(), booking_row(unit="512"))
    assert told(result) == [(3, "reference", "B-1 is in line 2 already.")]
    take_bookings(booking_row())
    result = take_bookings(booking_row(unit="512"))
    assert told(result) == [(2, "reference", "Booking B-1 is here already. A file only adds bookings.")]


def test_an_hour_that_came_twice_is_taken_with_its_offset(take_bookings):
    row = booking_row(planned_out_at="2026-10-25 01:30+00:00", planned_back_at="2026-10-28 10:00")
    assert told(take_bookings(row)) == []
    assert Rental.objects.get().planned_out_at == datetime(2026, 10, 25, 1, 30, tzinfo=UTC)
    assert "2026-10-25 01:30+00:00" in BookingResource().export(Rental.objects.all()).csv


def test_what_goes_out_can_come_in_again(take_bookings, maeve):
    take_bookings(booking_row(extras="gas"), booking_row(reference="B-2", unit="512", excess="0.5"))
    out = BookingResource().export(Rental.objects.all()).csv.encode()
    Rental.objects.all().delete()
    assert told(BookingResource().take_file(read_csv(out), by=maeve)) == []
    assert BookingResource().export(Rental.objects.all()).csv.encode() == out


def test_an_export_needs_no_more_queries_for_more_bookings(take_bookings, django_assert_num_queries):
    take_bookings(booking_row(extras="gas"), booking_row(reference="B-2", unit="512"))
    with django_assert_num_queries(6):
        BookingResource().export(Rental.objects.all())


def test_someone_without_the_right_books_nothing(take_bookings, callum):
    result = BookingResource().take_file(read_csv(csv_of(booking_row())), by=callum)
    ((line, _, sentence),) = told(result)
    assert (line, sentence) == (2, "A return bay cannot do this. Ask someone whose role includes it.")
    assert not Rental.objects.exists()
