"""What a customer told after the pickup was signed, beside what was found: it stands there and changes nothing."""

from typing import Any

from django import template

from handover.customer.staff import noticed_at

register = template.Library()


@register.inclusion_tag("customer/_noticed_here.html")
def noticed_here(page: Any) -> dict[str, Any]:
    """page: StationPage. On a return alone: what was told of this station since the unit left."""
    return {"rows": noticed_at(page.walk.leg_id, page.station.number) if page.walk.is_return else []}
