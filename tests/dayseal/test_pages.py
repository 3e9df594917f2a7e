"""The pages of the day seals: the list, one day, what is found, the sheet, the files, a rental's extract."""

import json

import pytest
from django.urls import reverse

from shared.ledger.day_document import read_document
from shared.ledger.models import DaySeal
from tests.ledger.forcing import force


@pytest.fixture
def as_ruth(client, ruth):
    client.force_login(ruth)
    return client


def test_the_list(as_ruth, sealed):
    page = as_ruth.get(reverse("day-seals")).text
    assert "17 August 2026" in page
    assert "18 August 2026" in page
    assert "2 entries wait for their seal." in page


def test_no_seal_yet(as_ruth):
    assert "No day is sealed yet." in as_ruth.get(reverse("day-seals")).text


def test_a_day_that_waits_is_named(as_ruth, written):
    assert "Over and not sealed" in as_ruth.get(reverse("day-seals")).text


@pytest.mark.parametrize("below", ["", "x", "2", "99999999999", "-1"])
def test_any_page_of_the_list(as_ruth, sealed, below):
    assert as_ruth.get(reverse("day-seals"), {"below": below}).status_code == 200


def test_one_day(as_ruth, sealed):
    page = as_ruth.get(reverse("day-seal", args=[1])).text
    assert read_document(sealed[0].document)["root"] in page
    assert "Does this day hold?" in page
    assert 'role="status"' not in page


def test_a_day_verified(as_ruth, sealed):
    assert "It holds." in as_ruth.get(reverse("day-seal-check", args=[2])).text
    force("UPDATE shared_entry SET device = 'tablet 9' WHERE sequence = 2 AND kind = 'reading.taken'")
    page = as_ruth.get(reverse("day-seal-check", args=[2])).text
    assert "It does not hold." in page
    assert "is not what was recorded" in page


def test_the_sheet(as_ruth, sealed):
    page = as_ruth.get(reverse("day-seal-sheet", args=[1])).text
    root = read_document(sealed[0].document)["root"]
    assert all(f"<li>{root[at : at + 8]}</li>" in page for at in range(0, 64, 8))
    assert f"day-seal/1 1 2026-08-17 {root}" in page
    assert "<svg" in page


@pytest.mark.parametrize(("kind", "start"), [("json", b"{"), ("p7s", b"\x30"), ("txt", b"01980000-")])
def test_the_files(as_ruth, sealed, kind, start):
    answer = as_ruth.get(reverse("day-seal-file", args=[1, kind]))
    assert answer.content.startswith(start)
    assert "attachment" in answer["Content-Disposition"]


@pytest.mark.parametrize("kind", ["tsr", "exe"])
def test_files_that_are_not_there(as_ruth, sealed, kind):
    assert as_ruth.get(reverse("day-seal-file", args=[1, kind])).status_code == 404


def test_a_seal_that_is_not_there(as_ruth):
    assert as_ruth.get(reverse("day-seal", args=[7])).status_code == 404


def test_the_extract_of_a_rental(as_ruth, booked, write):
    write(chain=booked.pk)
    told = json.loads(as_ruth.get(reverse("ledger-extract", args=[booked.pk])).content)
    assert [entry["kind"] for entry in told["entries"]] == ["reading.taken"]


def test_a_rental_without_entries_has_no_extract(as_ruth, booked):
    assert as_ruth.get(reverse("ledger-extract", args=[booked.pk])).status_code == 404


def test_the_list_takes_a_fixed_number_of_queries(as_ruth, sealed, django_assert_max_num_queries):
    with django_assert_max_num_queries(12):
        as_ruth.get(reverse("day-seals"))


def test_a_day_takes_a_fixed_number_of_queries(as_ruth, sealed, django_assert_max_num_queries):
    assert DaySeal.objects.count() == 2
    with django_assert_max_num_queries(6):
        as_ruth.get(reverse("day-seal", args=[1]))
