"""How figures are written on pages. No template does arithmetic."""

from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django import template
from django.utils.timezone import localtime

from shared.ids import uuid7
from shared.money import money_text

register = template.Library()


@register.filter
def money(amount: Decimal | str, currency: str) -> str:
    """An amount with its currency; text amounts come from canonical JSON. Raises TypeError for a float."""
    return money_text(Decimal(amount) if isinstance(amount, str) else amount, currency)


@register.filter
def clock(when: datetime) -> str:
    """24-hour clock, in the zone that is active on this page."""
    return f"{localtime(when):%H:%M}"


@register.filter
def day(when: datetime) -> str:
    """18 Aug, in the zone that is active on this page."""
    return f"{localtime(when):%-d %b}"


@register.simple_tag
def new_key() -> UUID:
    """A fresh idempotency key for a form."""
    return uuid7()
