"""Days and times as people read them, in the language that is active. Times come in local; the clock has 24 hours."""

from datetime import date, datetime, time
from functools import cache

from babel.core import Locale, UnknownLocaleError
from babel.dates import format_date
from django.conf import settings
from django.utils.translation import get_language, pgettext, to_locale


def day_text(day: date) -> str:
    """18 Aug"""
    return _written(day, pgettext("how a day is written", "d MMM"))


def dated(day: date) -> str:
    """18 Aug 2026"""
    return _written(day, pgettext("how a day is written", "d MMM y"))


def long_day(day: date) -> str:
    """Tuesday 18 August"""
    return _written(day, pgettext("how a day is written", "EEEE d MMMM"))


def full_day(day: date) -> str:
    """18 August 2026"""
    return _written(day, pgettext("how a day is written", "d MMMM y"))


def weekday_and_day(day: date) -> str:
    """Tue 18"""
    return _written(day, pgettext("how a day is written", "EEE d"))


def weekday(day: date) -> str:
    """Tuesday"""
    return _written(day, "EEEE")


def weekday_short(day: date) -> str:
    """Tue"""
    return _written(day, "EEE")


def clock_text(when: datetime | time) -> str:
    """10:24"""
    return f"{when:%H:%M}"


def moment_text(when: datetime) -> str:
    """18 Aug 10:24"""
    return f"{day_text(when)} {clock_text(when)}"


def dated_moment(when: datetime) -> str:
    """18 Aug 2026 10:24"""
    return f"{dated(when)} {clock_text(when)}"


def _written(day: date, pattern: str) -> str:
    return format_date(day, pattern, locale=locale_of(get_language() or settings.LANGUAGE_CODE))


@cache
def locale_of(language: str) -> Locale:
    """The house's own for a language whose days nobody has written down."""
    try:
        return Locale.parse(to_locale(language))
    except UnknownLocaleError:
        return Locale.parse(to_locale(settings.LANGUAGE_CODE))
