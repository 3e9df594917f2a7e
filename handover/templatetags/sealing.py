"""What managers have to know of the key that seals Records."""

from typing import Any

from django import template
from django.utils import timezone

from handover.record.expiring import certificate_sentence
from shared.access.models import Person
from shared.access.roles import Right

register = template.Library()


@register.inclusion_tag("records/_certificate.html")
def certificate_warning(person: Person) -> dict[str, Any]:
    """For who may check the Ledger, nothing for the others."""
    return {"sentence": certificate_sentence(timezone.localdate()) if person.may(Right.VERIFY) else ""}
