"""What charges came to: recovered, covered, waived, not charged and why, and what Extras brought."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from uuid import UUID

from django.db.models import Count, Sum
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.dispute.models import Decision, Dispute
from handover.dispute.money import money_of
from handover.insight.asking import Asked
from handover.insight.facts import drill_among
from handover.insight.reasons import reason_words
from handover.insight.results import ZERO, Line, latest
from handover.insight.table import Column, Money, Row, Table, share
from handover.rental.models import RentalExtra
from handover.statement.words import line_title


@dataclass(slots=True)
class Sums:
    """Of one kind of line in one currency."""

    many: int = 0
    raw: Decimal = ZERO
    covered: Decimal = ZERO
    due: Decimal = ZERO
    rentals: set[UUID] = field(default_factory=set)


def statements_words(count: int) -> str:
    return ngettext("%(count)s statement", "%(count)s statements", count) % {"count": count}


def kept_of_charges(asked: Asked) -> Table:
    """By kind of line and currency; waivers and what was lost to chargebacks are rows of their own."""
    sums: dict[tuple[str, str], Sums] = defaultdict(Sums)
    for result in latest(asked):
        for line in result.lines:
            if line.is_charge or line.code == "WAIVER":
                _add(sums[result.currency, line.code], line, result.rental)
    _add_chargebacks(asked, sums)
    return Table(
        title=_("Kept of what was charged"),
        definition=_(
            "The full price of every charge, before Extras pay and anything is waived, and how much of it is kept; by "
            "the latest statement of each rental, less chargebacks that were accepted. Credits for goodwill are not in "
            "it."
        ),
        columns=(
            Column("line", _("Kind of line"), figures=False), Column("many", _("How many")),
            Column("raw", _("Full price")),
            Column("covered", _("Extras pay")), Column("kept", _("Kept")), Column("kept_pct", _("Kept, %")),
        ),
        rows=(*_kept(sums), *_totals(sums)),
        rests_on=len(latest(asked)),
        rests_words=statements_words(len(latest(asked))),
        drill=drill_among({_key(*key): one.rentals for key, one in sums.items()}),
    )  # fmt: skip


def _add(sums: Sums, line: Line, rental: UUID) -> None:
    sums.many += 1
    sums.raw += max(line.raw, ZERO)
    sums.covered += line.covered
    sums.due += line.amount
    sums.rentals.add(rental)


def _add_chargebacks(asked: Asked, sums: dict[tuple[str, str], Sums]) -> None:
    """Those that were accepted: the branch lets go of what it still had of the payment. Two queries."""
    accepted = Decision.objects.filter(
        asked.due_back("dispute__rental__"),
        dispute__kind=Dispute.Kind.CHARGEBACK,
        outcome=Decision.Outcome.WITHDRAWN,
    )
    kept = accepted.select_related("dispute__rental__branch").prefetch_related("dispute__rental__movements")
    for row in kept:
        rental = row.dispute.rental
        one = sums[rental.currency, "CHARGEBACK"]
        one.many += 1
        one.due -= money_of(rental.movements.all()).claim(row.before).asked
        one.rentals.add(rental.pk)


def _key(currency: str, code: str) -> str:
    return f"{currency} {code}"


def code_title(code: str) -> str:
    """A kind of line without the thing it is about: Gas, Cleaning."""
    names = {"CHARGEBACK": _("Lost to chargebacks"), "WAIVER": _("Waived"), "DAMAGE": _("Damage"),
             "EQUIPMENT": _("Equipment"), "GAS": _("Gas"), "CYLINDER": _("Gas cylinder missing"),
             "SAFETY_KIT": _("Safety kit"), "FUEL": _("Fuel"),
             "FINE_ADMIN": _("Handling of fines"), "TOLL_ADMIN": _("Handling of tolls")}  # fmt: skip
    return names.get(code) or line_title(code, "").strip().rstrip(",").strip()


def _kept(sums: dict[tuple[str, str], Sums]) -> Iterator[Row]:
    for (currency, code), one in sorted(sums.items()):
        raw = Money(one.raw, currency) if one.raw else None
        yield Row(
            (code_title(code), one.many, raw, Money(one.covered, currency), Money(one.due, currency),
             share(one.due, one.raw)),
            key=_key(currency, code),
        )  # fmt: skip


def _totals(sums: dict[tuple[str, str], Sums]) -> Iterator[Row]:
    for currency in sorted({key[0] for key in sums}):
        rows = [one for key, one in sums.items() if key[0] == currency]
        raw, covered, due = (sum((getattr(one, name) for one in rows), ZERO) for name in ("raw", "covered", "due"))
        yield Row(
            (_("Together, %(currency)s") % {"currency": currency}, sum(one.many for one in rows),
             Money(raw, currency), Money(covered, currency), Money(due, currency), share(due, raw)),
        )  # fmt: skip


def uncharged_by_reason(asked: Asked) -> Table:
    """Findings of the latest statements by their reason; beside them what Extras paid and what was waived."""
    things: dict[str, Sums] = defaultdict(Sums)
    paid: dict[tuple[str, str], Sums] = defaultdict(Sums)
    for result in latest(asked):
        for finding in result.findings:
            things[finding.reason].many += 1
            things[finding.reason].rentals.add(result.rental)
        for line in result.lines:
            for name, amount in (("covered_money", line.covered), ("waived_money", line.waived)):
                if amount > 0:
                    one = paid[name, result.currency]
                    one.many, one.due = one.many + 1, one.due + amount
                    one.rentals.add(result.rental)
    rows = [Row((reason_words(reason), one.many, None), key=reason) for reason, one in _most_first(things)]
    money = {"covered_money": _("Extras paid"), "waived_money": _("Waived")}
    rows += [Row((money[name], one.many, Money(one.due, currency)), key=f"{name} {currency}")
             for (name, currency), one in sorted(paid.items())]  # fmt: skip
    members = {key: one.rentals for key, one in things.items()}
    members |= {f"{name} {currency}": one.rentals for (name, currency), one in paid.items()}
    return Table(
        title=_("Not charged, by reason"),
        definition=_("What was looked at and is not charged, or not in full, and why; by the latest statements."),
        columns=(
            Column("reason", _("Reason"), figures=False), Column("things", _("How often")),
            Column("money", _("Amount")),
        ),
        rows=tuple(rows),
        rests_on=len(latest(asked)),
        rests_words=statements_words(len(latest(asked))),
        unknown=(_("What a thing without a price would have come to is not known; the list of missing baselines says "
                   "what it could have been at most."),),
        drill=drill_among(members),
    )  # fmt: skip


def _most_first(things: dict[str, Sums]) -> list[tuple[str, Sums]]:
    return sorted(things.items(), key=lambda pair: (-pair[1].many, pair[0]))


def prepaid_margin(asked: Asked) -> Table:
    """Extras sold, at what price, and the full price of what they paid for."""
    sold = RentalExtra.objects.filter(asked.due_back("rental__"), rental__in=asked.rentals)
    rows = sold.order_by().values("name", "rental__branch__currency")
    bought = rows.annotate(many=Count("rental", distinct=True), price=Sum("price")).order_by("name")
    out = asked.many_rentals
    paid: dict[tuple[str, str], Sums] = defaultdict(Sums)
    for result in latest(asked):
        for name, amount in result.covers:
            one = paid[name, result.currency]
            one.covered += amount
            one.rentals.add(result.rental)
    return Table(
        title=_("Prepaid Extras"),
        definition=_(
            "How many took each Extra, what it was sold for, and the full price of what it then paid. The margin is "
            "what it was sold for less what it paid. A row opens the rentals for which it paid."
        ),
        columns=(
            Column("extra", _("Extra"), figures=False), Column("sold", _("Rentals that took it")),
            Column("take_up_pct", _("Of all rentals, %")), Column("price", _("Sold for")),
            Column("covered", _("Full price of what it paid")), Column("margin", _("Margin")),
            Column("used", _("Rentals it paid in")),
        ),
        rows=tuple(
            Row(
                (row["name"], row["many"], share(row["many"], out), Money(row["price"], currency),
                 Money(one.covered, currency), Money(row["price"] - one.covered, currency), len(one.rentals)),
                key=f"{row['name']} {currency}",
            )
            for row in bought
            for currency in [row["rental__branch__currency"]]
            for one in [paid[row["name"], currency]]
        ),
        rests_on=out,
        rests_words=rentals_words(out),
        unknown=(_("An Extra that was renamed while it was sold stands under each of its names."),),
        drill=drill_among({f"{name} {currency}": one.rentals for (name, currency), one in paid.items()}),
    )  # fmt: skip


def rentals_words(count: int) -> str:
    return ngettext("%(count)s rental", "%(count)s rentals", count) % {"count": count}
