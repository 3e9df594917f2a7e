"""Disputes of a rental on other pages: each with where it stands."""

from typing import Any

from django import template

from handover.dispute.queries import disputes_of
from handover.rental.models import Rental

register = template.Library()


@register.inclusion_tag("dispute/_of_rental.html")
def disputes_on(rental: Rental) -> dict[str, Any]:
    """One query; nothing is shown where there are none."""
    return {"rows": disputes_of(rental)}
