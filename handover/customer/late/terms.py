"""What lateness costs by a rental's frozen rules, in sentences. For what a time comes to, it is priced: price.py."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.charges import DocumentError, parse
from handover.charges.cover import late_blocks
from handover.charges.document.case import Case
from handover.charges.document.time_rates import LateRate
from handover.charges.extra_standing import standing_extras
from handover.charges.rules.late_return import day_amount
from handover.charges.workings import spoken
from handover.rental.models import Rental
from handover.statement.promise import promise_document
from shared.money import money_text

AN_HOUR = 60


@dataclass(frozen=True, slots=True)
class LateTerms:
    """`in_short` stands on the row of the customer's page, empty where nothing is charged; `sentences` say it all."""

    in_short: str
    sentences: tuple[str, ...]


def late_terms(rental: Rental) -> LateTerms | None:
    """No query. None where the rules cannot be read, so that nothing is said of a price."""
    try:
        case = parse(promise_document(rental))
    except DocumentError:
        return None
    rate = case.rules.late
    if rate is None or not (rate.rate_per_block or day_amount(rate)):
        return LateTerms("", (_("By your agreement coming back late is not charged by the hour."), *_besides(case)))
    return LateTerms(_in_short(case, rate), (*_sentences(case, rate), *_besides(case)))


def _in_short(case: Case, rate: LateRate) -> str:
    """£18.00 an hour, 1 prepaid."""
    count = _prepaid(case, rate)[0]
    return ", ".join(filter(None, (_rate(case, rate), _("%(count)s prepaid") % {"count": count} if count else "")))


def _rate(case: Case, rate: LateRate) -> str:
    if not rate.rate_per_block:
        return _("%(price)s a day") % {"price": _money(case, day_amount(rate) or Decimal(0))}
    price = _money(case, rate.rate_per_block)
    if rate.block_min == AN_HOUR:
        return _("%(price)s an hour") % {"price": price}
    return _("%(price)s for each %(minutes)s min") % {"price": price, "minutes": spoken(rate.block_min)}


def _sentences(case: Case, rate: LateRate) -> Iterator[str]:
    if rate.grace_min:
        yield _grace(rate)
    if rate.rate_per_block:
        yield _each_block(case, rate)
    yield from _days(case, rate)
    count, names = _prepaid(case, rate)
    if count and rate.rate_per_block:
        yield _paid_before(rate, count) % {"count": count, "minutes": spoken(rate.block_min), "names": ", ".join(names)}


def _each_block(case: Case, rate: LateRate) -> str:
    price = _money(case, rate.rate_per_block)
    if rate.block_min == AN_HOUR:
        return _("Each hour begun costs %(price)s.") % {"price": price}
    return _("Each %(minutes)s min begun cost %(price)s.") % {"minutes": spoken(rate.block_min), "price": price}


def _paid_before(rate: LateRate, count: int) -> str:
    if rate.block_min == AN_HOUR:
        return ngettext("%(count)s hour is prepaid: %(names)s.", "%(count)s hours are prepaid: %(names)s.", count)
    return _("%(count)s × %(minutes)s min prepaid: %(names)s.")


def _grace(rate: LateRate) -> str:
    minutes = {"minutes": spoken(rate.grace_min)}
    if rate.count_from == "end_of_grace":
        return _("The first %(minutes)s min are free, and are taken off what is longer.") % minutes
    return _("Up to %(minutes)s min late is free; what is longer counts from the planned return on.") % minutes


def _days(case: Case, rate: LateRate) -> Iterator[str]:
    most = day_amount(rate)
    if most is None:
        return
    if rate.day_rule is not None:
        said = {"hours": spoken(rate.day_rule.from_hours), "price": _money(case, most)}
        yield _("From %(hours)s h on the whole day counts: %(price)s.") % said
    if rate.rate_per_block:
        yield _("Never more than %(price)s in 24 hours.") % {"price": _money(case, most)}


def _prepaid(case: Case, rate: LateRate) -> tuple[int, list[str]]:
    """How many blocks the Extras that stand pay, and their names."""
    paying = [(extra.name, int(late_blocks(extra, rate))) for extra, _how in standing_extras(case)]
    return sum(count for _name, count in paying), [name for name, count in paying if count]


def _besides(case: Case) -> Iterator[str]:
    rate = case.rules.late
    if rate is None:
        return
    if rate.after_hours == "deemed_next_opening" and rate.deemed_for == "risk_and_lateness":
        yield _("Keys dropped while the branch is closed count as back at its next opening.")
    if rate.after_hours_fee:
        yield _("A drop while the branch is closed costs %(price)s.") % {"price": _money(case, rate.after_hours_fee)}
    if rate.next_booking_cost:
        yield _("What it costs to move the next customer is charged where there is proof of it.")


def _money(case: Case, amount: Decimal) -> str:
    return money_text(amount, case.currency.code)
