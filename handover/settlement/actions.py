"""Money is moved: held, captured, paid, paid back, released. Each as the settled statement says, never more."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from handover.settlement.amounts import check_amount
from handover.settlement.card_numbers import holds_card_number
from handover.settlement.models import Movement
from handover.settlement.plan import ZERO, Hold, Standing, Todo, steps
from handover.settlement.standing import settled_statements, standing_of
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.clock import local
from shared.dates import dated
from shared.ledger.personal import personal
from shared.money import money_text

Kind = Movement.Kind


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in the rental's currency, how it moves, and the reference of the till or the bank."""

    amount: Decimal
    method: str
    reference: str = ""


@transaction.atomic
def hold_deposit(*, rental: Rental, money: Money, act: Act, expires_on: date | None = None) -> Movement:
    """A card's hold, cash in the safe, a transfer. Raises CannotBe, also for anything that looks like a card number."""
    if earlier := _begin(rental, money, Kind.HELD, act):
        return earlier
    if rental.state == Rental.State.CANCELLED:
        raise CannotBe(_("%(rental)s is cancelled: nothing is held for it.") % {"rental": rental.number})
    _check_lapse(rental, money, expires_on, act)
    return _move(rental, money, Kind.HELD, act, expires_on=expires_on)


def _check_lapse(rental: Rental, money: Money, expires_on: date | None, act: Act) -> None:
    if money.method == Movement.Method.CARD:
        if expires_on is None:
            raise CannotBe(_("A card's hold lapses. Give the last day on which it can be captured."), "expires_on")
        if not money.reference.strip():
            raise CannotBe(_("A card's hold has an authorisation reference. It is on the slip."), "reference")
    elif expires_on is not None:
        raise CannotBe(_("Only a card's hold lapses. Leave the day empty."), "expires_on")
    if expires_on is not None and expires_on < _today(rental, act):
        raise CannotBe(
            _("%(expires_on)s is past: this hold has lapsed. Hold anew.") % {"expires_on": dated(expires_on)},
            "expires_on",
        )


@transaction.atomic
def capture(*, hold: Movement, money: Money, act: Act) -> Movement:
    """Never above what is held, nor above what the settled statement leaves to collect. Raises CannotBe."""
    rental = hold.rental
    if earlier := _begin(rental, money, Kind.CAPTURED, act):
        return earlier
    standing = standing_of(rental, today=_today(rental, act))
    there = _left(hold, standing)
    if there.expires_on and there.lapsed(standing.today):
        raise CannotBe(
            _("This hold lapsed on %(expires_on)s. Have the balance paid instead.")
            % {"expires_on": dated(there.expires_on)},
            "amount",
        )
    _check_at_most(money.amount, there.left, _("Only %(most)s is held. %(amount)s is more."), rental)
    _check_owed(standing, rental)
    _check_at_most(
        money.amount, max(standing.gap, ZERO), _("Only %(most)s is still to collect. %(amount)s is more."), rental
    )
    return _move(rental, money, Kind.CAPTURED, act, hold=hold)


@transaction.atomic
def release(*, hold: Movement, money: Money, act: Act) -> Movement:
    """What is not needed goes back; what the statement needs or keeps stays, unless it has lapsed. Raises CannotBe."""
    rental = hold.rental
    if earlier := _begin(rental, money, Kind.RELEASED, act):
        return earlier
    standing = standing_of(rental, today=_today(rental, act))
    there = _left(hold, standing)
    _check_at_most(money.amount, there.left, _("Only %(most)s is held. %(amount)s is more."), rental)
    if standing.total is not None and not there.lapsed(standing.today):
        needed = max(standing.gap, ZERO) + standing.kept
        spare = max(sum((row.left for row in standing.live()), ZERO) - needed, ZERO)
        _check_at_most(money.amount, spare, _("Only %(most)s is not needed. %(amount)s is more."), rental)
    return _move(rental, money, Kind.RELEASED, act, hold=hold)


@transaction.atomic
def take_balance(*, rental: Rental, money: Money, act: Act) -> Movement:
    """What the deposit does not reach is paid. Raises CannotBe."""
    return _as_planned(rental, money, Kind.PAID, Todo.PAY, _("Only %(most)s is to be paid. %(amount)s is more."), act)


@transaction.atomic
def refund(*, rental: Rental, money: Money, act: Act) -> Movement:
    """What was taken above the latest version goes back. Raises CannotBe."""
    return _as_planned(
        rental, money, Kind.REFUNDED, Todo.REFUND, _("Only %(most)s is to be paid back. %(amount)s is more."), act
    )


def _as_planned(rental: Rental, money: Money, kind: Movement.Kind, todo: Todo, words: str, act: Act) -> Movement:
    if earlier := _begin(rental, money, kind, act):
        return earlier
    standing = standing_of(rental, today=_today(rental, act))
    _check_owed(standing, rental)
    planned = sum((step.amount for step in steps(standing) if step.todo == todo), ZERO)
    _check_at_most(money.amount, planned, words, rental)
    return _move(rental, money, kind, act)


def _begin(rental: Rental, money: Money, kind: Movement.Kind, act: Act) -> Movement | None:
    require(act.by, Right.SETTLE, rental.branch_id)
    if earlier := act.replayed(Movement, chain=rental.pk, kind=f"settlement.{kind}"):
        return earlier
    rental.refresh_from_db(fields=["state"])
    check_amount(money.amount, rental.currency, "amount", above_zero=True)
    if money.method not in Movement.Method.values:
        raise CannotBe(_("Money moves by card, in cash or by transfer."), "method")
    if holds_card_number(money.reference):
        raise CannotBe(
            _(
                "This looks like a card number, and none is kept here. Write the authorisation "
                "reference; if it is one, its last eight digits do."
            ),
            "reference",
        )
    return None


def _check_owed(standing: Standing, rental: Rental) -> None:
    if standing.total is None:
        raise CannotBe(
            _("%(rental)s has no settled statement. Money moves by what one says.") % {"rental": rental.number}
        )


def _left(hold: Movement, standing: Standing) -> Hold:
    return next(row for row in standing.holds if row.id == hold.pk)


def _check_at_most(amount: Decimal, most: Decimal, words: str, rental: Rental) -> None:
    if amount > most:
        amounts = {"most": money_text(most, rental.currency), "amount": money_text(amount, rental.currency)}
        raise CannotBe(words % amounts, "amount")


def _today(rental: Rental, act: Act) -> date:
    return local(act.at, rental.branch.zone).date()


def _move(
    rental: Rental, money: Money, kind: Movement.Kind, act: Act, *,
    hold: Movement | None = None, expires_on: date | None = None,
) -> Movement:  # fmt: skip
    row = Movement.objects.create(
        id=act.key, rental=rental, statement=settled_statements().filter(rental=rental).order_by("version").last(),
        hold=hold, kind=kind, method=money.method, amount=money.amount, currency=rental.currency,
        reference=money.reference.strip(), expires_on=expires_on, at=act.at, by=act.by,
    )  # fmt: skip
    act.write(chain=rental.pk, kind=f"settlement.{kind}", subject=row.pk, payload=_told(row))
    return row


def _told(row: Movement) -> dict[str, Json]:
    return {
        "amount": str(row.amount),
        "currency": row.currency,
        "method": row.method,
        "statement": row.statement.version if row.statement else None,
        "hold": str(row.hold_id) if row.hold_id else None,
        "expires_on": row.expires_on.isoformat() if row.expires_on else None,
        "reference": dict(personal(row.reference, kind="payment.reference")) if row.reference else None,
    }
