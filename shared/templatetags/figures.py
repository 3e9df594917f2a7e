"""How figures are written on pages. No template does arithmetic."""

from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from django import template
from django.conf import settings
from django.utils.timezone import localtime
from django.utils.translation import get_language, to_locale

from shared import dates, phrasebook
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
    return dates.clock_text(localtime(when))


@register.filter
def day(when: date) -> str:
    """18 Aug, in the zone that is active on this page."""
    return dates.day_text(_here(when))


@register.filter
def moment(when: datetime) -> str:
    """18 Aug 10:24"""
    return dates.moment_text(localtime(when))


@register.filter
def day_of_year(when: date) -> str:
    """18 Aug 2026"""
    return dates.dated(_here(when))


@register.filter
def full_day(when: date) -> str:
    """18 August 2026"""
    return dates.full_day(_here(when))


@register.filter
def long_day(when: date) -> str:
    """Tuesday 18 August"""
    return dates.long_day(_here(when))


@register.filter
def weekday(when: date) -> str:
    """Tuesday"""
    return dates.weekday(_here(when))


def _here(when: date) -> date:
    """A day has no zone."""
    return localtime(when) if isinstance(when, datetime) else when


@register.filter
def said(text: str) -> str:
    """What was kept in the house language, in the language of the page."""
    return phrasebook.said(text)


@register.filter
def spelled(state: str) -> str:
    """A state of a document in words: not_inspected as not inspected."""
    return phrasebook.said(state.replace("_", " "))


@register.filter
def inside(label: str) -> str:
    """A label inside a sentence: "pickup under way"."""
    return phrasebook.inside(str(label))


@register.simple_tag
def page_language() -> str:
    """The value of the page's lang: en-GB, de, fr."""
    return to_locale(get_language() or settings.LANGUAGE_CODE).replace("_", "-")


@register.simple_tag
def new_key() -> UUID:
    """A fresh idempotency key for a form."""
    return uuid7()
