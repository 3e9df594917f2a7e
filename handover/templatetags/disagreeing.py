"""Where two answers to a question do not agree, they stand at its row."""

from typing import Any
from uuid import UUID

from django import template

from handover.tablet.picking import picking

register = template.Library()


@register.inclusion_tag("tablet/_disagreement.html", takes_context=True)
def disagreement(context: template.Context, page: Any, item: UUID) -> dict[str, Any]:
    """page: StationPage; item: what is asked."""
    found = picking(page.walk, page.station, page.seen.disagreements, item)
    return {"picking": found, "can_answer": page.can_answer, "csrf_token": context.get("csrf_token", "")}
