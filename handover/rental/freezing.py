"""The promise at pickup: copied into the rental, so that no later price list, tank or option changes it."""

from datetime import date, datetime
from typing import Any

from django.utils.translation import gettext as _

from consumables.readable import figure
from fleet.models import Branch
from handover.acting import CannotBe
from handover.rental.models import RateCard, Rental
from shared.clock import local
from shared.dates import dated

WEEKDAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


def freeze(rental: Rental, *, at: datetime) -> None:
    """Copies rate card, tax, opening hours, option and Extras as they stand at the pickup signature."""
    branch = rental.branch
    card = rate_card_on(branch, local(at, branch.zone).date())
    rental.frozen_at = at
    rental.frozen = {
        "rate_card": {"id": str(card.pk), "number": card.number, "valid_from": card.valid_from.isoformat()},
        "rules": with_opening_hours(card.rules, branch),
        "currency": branch.currency,
        "zone": branch.zone,
        "distance_unit": branch.distance_unit,
        "tax": {
            "mode": branch.tax_mode,
            "rate": figure(branch.tax_rate),
            "rounding": branch.tax_rounding,
            "outside_scope": branch.tax_outside_scope,
        },
        "charged_days": rental.charged_days,
        "liability_option": rental.liability_option,
        "excess": str(rental.excess),
        "deposit_held": str(rental.deposit_held),
        "extras": [
            {
                "name": extra.name,
                "covers": extra.covers,
                "price": str(extra.price),
                "purchased_at": extra.purchased_at.isoformat(),
            }
            for extra in rental.extras.all()
        ],
    }
    rental.save(update_fields=["frozen", "frozen_at"])


def rate_card_on(branch: Branch, day: date) -> RateCard:
    """The newest published rate card that is valid on a day of the branch. Raises CannotBe when there is none."""
    published = RateCard.objects.filter(branch=branch, draft=False, valid_from__lte=day)
    card = published.order_by("-valid_from", "-number").first()
    if card is None:
        raise CannotBe(
            _("%(branch)s has no rate card for %(day)s. The fleet coordinator can add one.")
            % {"branch": branch, "day": dated(day)}
        )
    return card


def with_opening_hours(rules: dict[str, Any], branch: Branch) -> dict[str, Any]:
    """The late rule knows the branch's own hours and closed dates."""
    if "late" not in rules:
        return rules
    hours: dict[str, list[str] | None] = dict.fromkeys(WEEKDAYS)
    for row in branch.opening_hours.all():
        hours[WEEKDAYS[row.weekday]] = [f"{row.opens:%H:%M}", f"{row.closes:%H:%M}"]
    closed = [row.day.isoformat() for row in branch.closed_dates.all()]
    return rules | {"late": rules["late"] | {"opening_hours": hours, "closed_dates": closed}}
