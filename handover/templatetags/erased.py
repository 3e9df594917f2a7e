"""What of a rental was erased and when, at the head of its pages, and the way to all that is held of its customer."""

from typing import Any

from django import template

from handover.rental.models import Rental
from handover.retention.ending import OVER
from handover.retention.gone import gone_of
from shared.access.models import Person
from shared.access.roles import Right

register = template.Library()


@register.inclusion_tag("retention/_erased.html")
def erased_on(rental: Rental) -> dict[str, Any]:
    """One query, and none while the rental is not over."""
    return {"gone": gone_of(rental.pk) if rental.state in OVER else []}


@register.inclusion_tag("retention/_way.html")
def way_to_data(person: Person, rental: Rental) -> dict[str, Any]:
    """For those who may see it."""
    return {"rental": rental if person.may(Right.VERIFY) else None}
