"""Figures, amounts and times as the Record prints them: in the branch's currency, order and zone."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_datetime
from babel.numbers import get_currency_symbol

from handover.record.content import Operator
from shared.money import exponent, money_text, round_half_up

THOUSANDS = "\u202f"


def figure(number: Decimal | int) -> str:
    """With the digits it has, a narrow space between thousands, a minus sign: 41 206 or − 3.5."""
    text = f"{abs(number):,}".replace(",", THOUSANDS)
    return f"− {text}" if number < 0 else text


def quantity(number: Decimal | None, unit: str, absent: str = "not read") -> str:
    """82.0 L, or the word for an absent reading."""
    return absent if number is None else f"{figure(number)} {unit}".strip()


def digest_groups(digest: str, digits: int = 64) -> str:
    """9f3c 07aa 51de 4b80: the first digits of a digest in fours."""
    return " ".join(digest[start : start + 4] for start in range(0, min(digits, len(digest)), 4))


def language_name(tag: str) -> str:
    """English for en or en-GB; the tag itself where nobody knows it."""
    try:
        return Locale.parse(tag, sep="-").get_language_name("en") or tag
    except (ValueError, UnknownLocaleError):
        return tag


@dataclass(frozen=True)
class Writing:
    currency: str
    locale: str
    zone: ZoneInfo

    @classmethod
    def of(cls, operator: Operator) -> "Writing":
        return cls(operator.currency, operator.locale, ZoneInfo(operator.time_zone))

    @property
    def symbol(self) -> str:
        return get_currency_symbol(self.currency, locale=self.locale)

    def money(self, amount: Decimal) -> str:
        return money_text(amount, self.currency, self.locale)

    def amount(self, amount: Decimal) -> str:
        """For a column whose head names the currency: 1 051.03."""
        return figure(round_half_up(amount, exponent(self.currency)))

    def moment(self, at: datetime | None) -> str:
        """Fri 14 Aug 2026, 10:12."""
        return self._written(at, "EEE d MMM y, HH:mm")

    def short(self, at: datetime | None) -> str:
        """14 Aug 10:38."""
        return self._written(at, "d MMM HH:mm")

    def clock(self, at: datetime | None) -> str:
        return self._written(at, "HH:mm")

    def day(self, day: date, *, this_year: int = 0) -> str:
        """4 Apr 2025, or 4 Apr in `this_year`."""
        return format_date(day, "d MMM" if day.year == this_year else "d MMM y", locale=self.locale)

    def _written(self, at: datetime | None, pattern: str) -> str:
        return format_datetime(at, pattern, tzinfo=self.zone, locale=self.locale) if at else ""
