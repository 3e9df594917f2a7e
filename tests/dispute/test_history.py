"""History to measure with: copies of a settled, disputed rental are whole, in order, and each its own."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client
from django.urls import reverse

from fleet.models import Branch
from handover.demo.history.rows import rows_of_rental
from handover.dispute.models import Dispute
from handover.rental.models import Rental
from handover.walkround.models import Reading
from shared.access.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def kept_copied(kept_dispute: Dispute) -> Rental:
    Branch.objects.filter(pk=kept_dispute.rental.branch_id).update(operator="Larkmoor Campers")
    call_command("simulate", "--rentals=100", "--units=4", "--branches=2", "--years=3", stdout=StringIO())
    return kept_dispute.rental


@pytest.fixture
def copied(kept_copied: Rental, dispute: Dispute) -> Rental:
    """A hundred copies on four units of two branches; the first, as it was."""
    return dispute.rental


def test_every_copy_is_whole(copied: Rental) -> None:
    connection.check_constraints()
    assert Rental.objects.count() == 101
    rows = rows_of_rental(Rental.objects.get(number="S1"))
    first = {model.__name__: len(own) for model, own in rows_of_rental(copied).items()}
    # Of the first and one copy in fifty there is a dispute.
    del first["Dispute"]
    assert {model.__name__: len(own) for model, own in rows.items()} == first


def test_copies_lie_in_the_past_and_apart(copied: Rental) -> None:
    backs = Rental.objects.exclude(pk=copied.pk).values_list("planned_back_at", flat=True)
    assert max(backs) < copied.planned_out_at
    assert len({back.date() for back in backs}) > 90
    readings = Reading.objects.filter(walk__leg__rental__number="S7").values_list("at", flat=True)
    assert all(at < copied.planned_out_at for at in readings)
    branches = Rental.objects.values_list("branch", flat=True)
    assert len(set(branches)) == 2


def test_a_copy_has_its_pages(copied: Rental, ruth: Person) -> None:
    dispute = Dispute.objects.exclude(rental=copied).filter(rental__branch=copied.branch).earliest("pk")
    client = Client()
    client.force_login(ruth)
    for page, key in (("dispute", dispute.pk), ("rental", dispute.rental_id), ("statement", dispute.rental_id)):
        assert client.get(reverse(page, args=[key])).status_code == 200
    assert dispute.rental.number in client.get(f"{reverse('search')}?q={dispute.rental.number}").content.decode()


def test_it_is_made_once_and_only_beside_the_demo(copied: Rental) -> None:
    with pytest.raises(CommandError, match="was made here before"):
        call_command("simulate", "--rentals=1")


def test_without_the_demo_there_is_nothing_to_copy(inverlark: Branch) -> None:
    with pytest.raises(CommandError, match="no settled rental of the demo"):
        call_command("simulate", "--rentals=1")


@pytest.mark.parametrize("typed", ["0", "-3", "many", "1e6"])
def test_what_is_no_count(inverlark: Branch, typed: str) -> None:
    with pytest.raises(CommandError, match="no number from 1"):
        call_command("simulate", f"--rentals={typed}")
