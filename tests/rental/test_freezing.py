"""What was promised at pickup stays, whatever the operator changes afterwards."""

from datetime import date

import pytest

from handover.acting import CannotBe
from handover.rental.freezing import freeze, rate_card_on
from handover.rental.models import RateCard, Rental
from tests.factories import NINE, OpeningHoursFactory, RateCardFactory

pytestmark = pytest.mark.django_db


def test_a_later_price_list_changes_nothing(booked: Rental) -> None:
    freeze(booked, at=NINE)
    RateCard.objects.update(rules={"fuel": {"price_per_litre": "2.40"}})
    booked.refresh_from_db()
    assert booked.frozen["rules"]["fuel"]["price_per_litre"] == "1.62"


def test_the_newest_valid_card_counts(booked: Rental) -> None:
    RateCardFactory(number=8, valid_from=date(2026, 8, 14))
    RateCardFactory(number=9, valid_from=date(2026, 8, 15))
    assert rate_card_on(booked.branch, date(2026, 8, 14)).number == 8


def test_no_card_is_said(booked: Rental) -> None:
    with pytest.raises(CannotBe, match="no rate card for 1 Jan 2020"):
        rate_card_on(booked.branch, date(2020, 1, 1))


def test_the_branchs_hours_travel_with_the_late_rule(booked: Rental) -> None:
    OpeningHoursFactory(branch=booked.branch)
    freeze(booked, at=NINE)
    assert booked.frozen["rules"]["late"]["opening_hours"] == {
        "mon": ["08:00", "18:00"], "tue": None, "wed": None, "thu": None, "fri": None, "sat": None, "sun": None,
    }  # fmt: skip


def test_the_tax_is_the_branchs(booked: Rental) -> None:
    freeze(booked, at=NINE)
    assert booked.frozen["tax"]["rate"] == "0.2"
    assert "DAMAGE" in booked.frozen["tax"]["outside_scope"]
