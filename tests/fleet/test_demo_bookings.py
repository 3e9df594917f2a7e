from datetime import UTC, date, datetime, timedelta

import pytest

from fleet.demo.loading import load_fleet
from handover.admin.rules_check import check_covers, check_rules
from handover.demo.setup import BOOKINGS, load_bookings
from handover.rental.models import ExtraOffer, RateCard, Rental
from shared.ledger.models import Entry

TODAY = date(2026, 8, 18)


pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def fleet(kept_for_module):
    return load_fleet(today=TODAY)


def loaded(fleet, day=TODAY):
    return load_bookings(fleet, today=day, played_back_on=day)


def test_all_bookings_are_there_and_in_the_ledger(fleet):
    loaded(fleet)
    assert Rental.objects.count() == len(BOOKINGS) + 1
    assert Entry.objects.filter(kind="rental.booked").count() == len(BOOKINGS) + 1


def test_the_played_rental(fleet):
    rental = loaded(fleet)
    assert (rental.number, rental.customer.name) == ("LK-20418", "Maren Oduya")
    assert (rental.charged_days, rental.excess, rental.deposit_held) == (4, 100, 500)
    assert rental.planned_back_at == datetime(2026, 8, 18, 9, tzinfo=UTC)
    names = {extra.name for extra in rental.extras.all()}
    assert names == {"20 L of fuel prepaid", "Gas prepaid", "1 hour late prepaid"}
    assert all(extra.purchased_at < rental.planned_out_at for extra in rental.extras.all())


def test_a_second_run_finds_everything(fleet):
    first = loaded(fleet)
    before = Entry.objects.count()
    assert loaded(fleet) == first
    assert Entry.objects.count() == before


def test_the_next_day_open_bookings_move_with_it(fleet):
    loaded(fleet)
    loaded(fleet, TODAY + timedelta(1))
    assert Rental.objects.count() == len(BOOKINGS) + 1
    tomas = Rental.objects.get(customer__name="Tomas Iveldt")
    assert tomas.planned_out_at == datetime(2026, 8, 19, 8, tzinfo=UTC)


def test_a_started_rental_stays_and_gets_a_successor(fleet):
    loaded(fleet)
    Rental.objects.filter(customer__name="Esi Larbi").update(state="settled")
    loaded(fleet, TODAY + timedelta(1))
    references = Rental.objects.filter(customer__name="Esi Larbi").values_list("outside_reference", flat=True)
    assert sorted(references) == ["LM-21201", "LM-21201-260819"]


def test_a_settled_played_rental_is_given_back_as_it_is(fleet):
    first = loaded(fleet)
    Rental.objects.filter(pk=first.pk).update(state="settled")
    again = load_bookings(fleet, today=TODAY, played_back_on=TODAY + timedelta(1))
    assert (again.pk, again.planned_back_at) == (first.pk, first.planned_back_at)


def test_the_played_rental_may_be_back_the_day_before(fleet):
    rental = load_bookings(fleet, today=TODAY, played_back_on=TODAY - timedelta(1))
    assert rental.planned_back_at == datetime(2026, 8, 17, 9, tzinfo=UTC)


def test_rate_cards_and_extras_are_such_as_pricing_reads(fleet):
    loaded(fleet)
    assert [(card.branch.code, card.number) for card in RateCard.objects.all()] == [
        ("inverlark", 7), ("inverlark", 6), ("port-averil", 3),
    ]  # fmt: skip
    for card in RateCard.objects.all():
        check_rules(card.rules, card.branch)
    for offer in ExtraOffer.objects.all():
        check_covers(offer.covers, offer.branch)
