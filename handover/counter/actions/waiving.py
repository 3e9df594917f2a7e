"""A line is reduced, and a reduction taken back."""

from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.counter.guard import begin, needed
from handover.counter.limits import may_waive, waiver_limits
from handover.counter.lines import ZERO, due_on, latest_statement, result_of
from handover.counter.models import Waiver
from handover.rental.models import Rental
from shared.access.models import Person
from shared.access.roles import Right
from shared.ledger.personal import worded
from shared.money import exponent, money_text


@dataclass(frozen=True, slots=True)
class Reduction:
    """By percent of what is due or by an amount, one and not both."""

    reason: str
    words: str
    percent: Decimal | None = None
    amount: Decimal | None = None

    def of(self, due: Decimal) -> Decimal:
        return self.amount if self.percent is None and self.amount is not None else due * (self.percent or ZERO) / 100


@transaction.atomic
def waive(
    rental: Rental, *, code: str, ref: str, reduction: Reduction, act: Act, second: Person | None = None
) -> Waiver:
    """Take something off a line. Above the limit of the role a second person confirms. Raises CannotBe.

    What one person waives alone on a line counts together: two halves do not pass a limit that the whole does not.
    """
    if earlier := begin(rental, Waiver, "line.waived", act, right=Right.WAIVE):
        return earlier
    due = due_on(result_of(latest_statement(rental)), code, ref)
    standing = Waiver.objects.filter(rental=rental, code=code, ref=ref, withdrawn_at=None).select_related("by")
    _check(rental, reduction, due, taken=sum((_worth(row, due) for row in standing), ZERO))
    alone = sum((_worth(row, due) for row in standing if row.second_id is None and row.by_id == act.by.pk), ZERO)
    check_limit(rental, reduction.of(due) + alone, by=act.by, second=second)
    waiver = Waiver.objects.create(
        id=act.key, rental=rental, code=code, ref=ref, percent=reduction.percent, amount=reduction.amount,
        reason=Waiver.Reason(reduction.reason), words=reduction.words.strip(), second=second, at=act.at, by=act.by,
    )  # fmt: skip
    act.write(
        chain=rental.pk,
        kind="line.waived",
        subject=waiver.pk,
        payload={
            "code": code,
            "ref": ref,
            "percent": _text(waiver.percent),
            "amount": _text(waiver.amount),
            "reason": waiver.reason,
            "words": worded(waiver.words),
            "role": act.by.role,
            "second": str(second.pk) if second else None,
        },
    )
    return waiver


def _text(figure: Decimal | None) -> str | None:
    return None if figure is None else str(figure)


def _worth(row: Waiver, due: Decimal) -> Decimal:
    return Reduction(row.reason, row.words, row.percent, row.amount).of(due)


def _check(rental: Rental, reduction: Reduction, due: Decimal, *, taken: Decimal) -> None:
    if reduction.reason not in Waiver.Reason.values:
        raise CannotBe(_("Choose the reason from the list."), "reason")
    needed(reduction.words, "words", _("Say in a few words why: a manager reads it months later."))
    if (reduction.percent is None) == (reduction.amount is None):
        raise CannotBe(_("Give either percent or an amount."), "percent")
    if reduction.percent is not None and not 0 < reduction.percent <= 100:
        raise CannotBe(
            _("%(percent)s %% cannot be waived. Above 0 and up to 100 can.") % {"percent": reduction.percent}, "percent"
        )
    if reduction.amount is not None:
        check_amount(rental, reduction.amount)
    if reduction.of(due) + taken > due:
        left = money_text(max(due - taken, ZERO), rental.currency)
        raise CannotBe(_("%(left)s is left of this line: no more than that can be waived.") % {"left": left}, "amount")


def check_amount(rental: Rental, amount: Decimal) -> None:
    if amount <= 0 or -int(amount.normalize().as_tuple().exponent) > exponent(rental.currency):
        raise CannotBe(
            _("%(amount)s cannot be an amount in %(currency)s. Give one above 0, such as 18.00.")
            % {"amount": amount, "currency": rental.currency},
            "amount",
        )


def check_limit(rental: Rental, amount: Decimal, *, by: Person, second: Person | None) -> None:
    limits = waiver_limits((rental.frozen or {}).get("rules", {}))
    if second is not None and (second.pk == by.pk or not second.may(Right.WAIVE)):
        raise CannotBe(_("The second person is another one, whose role may waive."), "second_name")
    if second is not None and rental.branch_id not in second.branch_ids:
        raise CannotBe(
            _("%(second)s is not posted to %(branch)s. Someone of this branch can confirm.")
            % {"second": second, "branch": rental.branch},
            "second_name",
        )
    if may_waive(limits, by.role, amount) or (second is not None and may_waive(limits, second.role, amount)):
        return
    raise CannotBe(_above_limit(by, limits.get(by.role), amount, rental, confirmed=second is not None), "second_name")


def _above_limit(by: Person, limit: str | None, amount: Decimal, rental: Rental, *, confirmed: bool) -> str:
    """Also where the second person's own limit is lower than the amount."""
    said = {"role": by.get_role_display(), "amount": money_text(amount, rental.currency)}
    if limit:
        said["limit"] = money_text(Decimal(limit), rental.currency)
        who = _("%(role)s may waive up to %(limit)s on a line; this is %(amount)s.") % said
    else:
        who = _("%(role)s may waive nothing; this is %(amount)s.") % said
    if confirmed:
        return who + " " + _("Someone with a higher limit can confirm: the second person’s limit is lower too.")
    return who + " " + _("Someone with a higher limit can confirm.")


@transaction.atomic
def withdraw_waiver(waiver: Waiver, *, words: str, act: Act) -> Waiver:
    """The line is due again. The waiver stays, with who took it back and why."""
    rental = waiver.rental
    if earlier := begin(rental, Waiver, "waiver.withdrawn", act, right=Right.WAIVE):
        return earlier
    waiver.refresh_from_db(fields=["withdrawn_at", "withdrawn_words"])
    if waiver.withdrawn_at:
        raise CannotBe(
            _("This was taken back already: %(withdrawn_words)s") % {"withdrawn_words": waiver.withdrawn_words}
        )
    waiver.withdrawn_words = needed(words, "words", _("Say why it is taken back."))
    waiver.withdrawn_at, waiver.withdrawn_by = act.at, act.by
    waiver.save(update_fields=["withdrawn_at", "withdrawn_by", "withdrawn_words"])
    act.write(
        chain=rental.pk,
        kind="waiver.withdrawn",
        subject=waiver.pk,
        payload={"code": waiver.code, "ref": waiver.ref, "words": worded(waiver.withdrawn_words)},
    )
    return waiver
