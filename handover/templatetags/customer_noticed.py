"""What a customer told after the pickup was signed, beside what was found: it stands there and changes nothing."""

from typing import Any

from django import template

from handover.customer.staff import noticed_at

register = template.Library()


@register.inclusion_tag("customer/_noticed_here.html")
def noticed_here(page: Any) -> dict[str, Any]:
    """page: StationPage. On a return alone: what was told of this station since the unit left."""
    # Most customers told nothing; the walk-round says so where it was loaded by itself.
    asks = page.walk.is_return and getattr(page.walk, "has_noticed", True)
    return {"rows": noticed_at(page.walk.leg_id, page.station.number) if asks else []}
