"""What the statement's page shows, read from the statement itself: its result and the inputs it was priced from."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db.models import OuterRef, QuerySet, Subquery
from django.urls import reverse
from django.utils.translation import gettext as _

from handover.record.models import Record
from handover.rental.models import Leg, Rental
from handover.statement.drawn import Signed, signed
from handover.statement.lines import LineRow, Wording, line_rows
from handover.statement.models import Signature, Statement
from handover.statement.unattended import Absence, absence_among
from handover.statement.words import kit_names
from handover.walkround.models import WalkRound
from shared.money import money_text
from shared.phrasebook import inside, said

ZERO = Decimal(0)


def latest_versions() -> QuerySet[Statement]:
    """Of each rental the statement that counts."""
    newest = Statement.objects.filter(rental=OuterRef("rental")).order_by("-version").values("pk")[:1]
    return Statement.objects.filter(pk=Subquery(newest))


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was looked at and is not charged, or not in full, and why."""

    title: str
    sentence: str

    @property
    def in_a_sentence(self) -> str:
        """The title within a list: a name in capitals, such as AUS 32, stays as it is."""
        return self.title if self.title[1:2].isupper() else inside(self.title)


@dataclass(frozen=True, slots=True)
class Sums:
    """`given_back` is what waivers and credits take off, above zero."""

    raw: Decimal
    covered: Decimal
    given_back: Decimal
    tax_on_top: Decimal | None
    due: Decimal
    sentence: str
    outcome: str


@dataclass(frozen=True, slots=True)
class StatementPage:
    """`customer` and `staff` are the signatures under exactly this statement; `statement` None: not priced yet."""

    rental: Rental
    leg: Leg
    statement: Statement | None
    lines: Sequence[LineRow] = ()
    free: Sequence[Finding] = ()
    also: Sequence[Finding] = ()
    sums: Sums | None = None
    customer: Signature | None = None
    staff: Signature | None = None
    is_latest: bool = True
    record: Record | None = None
    absence: Absence | None = None

    @property
    def nobody_signs(self) -> bool:
        """Without the customer no signature is asked of them; who came by after all and signed has signed."""
        return self.absence is not None and (self.customer is None or self.customer.outcome == "absent")

    @property
    def record_address(self) -> str:
        """Where the customer looks the record up."""
        if self.record is None:
            return ""
        return settings.PUBLIC_URL + reverse("record-lookup", args=[self.rental.number, self.record.code])

    @property
    def found_alone(self) -> frozenset[int]:
        """Numbers of the lines that rest on what was found without the customer."""
        if self.absence is None:
            return frozenset()
        rests_on = {line.number: (line.code, [row.at for row in line.readings]) for line in self.lines}
        return frozenset(number for number, (code, at) in rests_on.items() if self.absence.found_alone(code, at))

    @property
    def signed(self) -> list[Signed]:
        return [signed(row) for row in (self.customer, self.staff) if row]


def rentals_to_settle() -> QuerySet[Rental]:
    return Rental.objects.select_related("branch", "customer")


def statements_to_sign() -> QuerySet[Statement]:
    return Statement.objects.select_related("rental__branch", "rental__customer", "drawn_up_by")


def statement_page(rental: Rental, *, version: int | None = None) -> StatementPage:
    """The latest version, or the one asked for. Call it with the branch's zone active."""
    leg = rental.legs.select_related("unit").latest("number")
    versions = {row.version: row for row in rental.statements.select_related("drawn_up_by")}
    statement = versions.get(version or max(versions, default=0))
    if statement is None:
        return StatementPage(rental, leg, None)
    result, inputs = json.loads(statement.result), json.loads(statement.inputs)
    walks = list(WalkRound.objects.filter(leg=leg).select_related("sheet"))
    wording = wording_of(rental, walks)
    lines = line_rows(result, inputs, wording)
    free, also = _findings(result, wording)
    by_role = {row.role: row for row in statement.signatures.filter(content_sha256=statement.digest)}
    return StatementPage(
        rental=rental,
        leg=leg,
        statement=statement,
        lines=lines,
        free=free,
        also=also,
        sums=_sums(lines, result, inputs, rental),
        customer=by_role.get("customer"),
        staff=by_role.get("staff"),
        is_latest=statement.version == max(versions),
        record=Record.objects.filter(statement=statement).first(),
        absence=absence_among(walks, rental.branch.zone),
    )


def wording_of(rental: Rental, walks: Sequence[WalkRound]) -> Wording:
    """The operator's own words for lines, from the first sheet and the frozen rate card."""
    sheet = walks[0].sheet.data if walks else None
    card = (rental.frozen or {}).get("rate_card", {})
    return Wording(
        names=kit_names(sheet) if sheet else {},
        fuel=_(sheet.fuel.capitalize()) if sheet else _("Fuel"),
        currency=rental.currency,
        rate_card=str(card.get("number", "")),
    )


def _findings(result: Mapping[str, Any], wording: Wording) -> tuple[list[Finding], list[Finding]]:
    """What has no line at all, and what is said about a line that is there."""
    charged = {(line["code"], line["ref"]) for line in result["lines"]}
    free: list[Finding] = []
    also: list[Finding] = []
    for row in result["findings"]:
        found = Finding(wording.title(row), said(row["sentence"]))
        (also if (row["code"], row["ref"]) in charged else free).append(found)
    return free, also


def _sums(lines: Sequence[LineRow], result: Mapping[str, Any], inputs: Mapping[str, Any], rental: Rental) -> Sums:
    totals = {name: Decimal(amount) for name, amount in result["totals"].items()}
    on_top = inputs["tax"]["mode"] == "exclusive"
    return Sums(
        raw=sum((line.raw for line in lines if line.raw > 0), ZERO),
        covered=sum((line.covered for line in lines), ZERO),
        given_back=-sum((line.raw for line in lines if line.raw < 0), ZERO),
        tax_on_top=totals["tax"] if on_top else None,
        due=totals["total"],
        sentence=_tax_and_deposit(totals, rental, on_top=on_top),
        outcome=_outcome(totals, rental.currency),
    )


def _tax_and_deposit(totals: Mapping[str, Decimal], rental: Rental, *, on_top: bool) -> str:
    """VAT in this: £10.11. Deposit held: £500.00. After reopening the deposit is settled already."""
    tax = (
        ""
        if on_top
        else _("%(tax_name)s in this: %(tax)s.")
        % {"tax_name": rental.branch.tax_name, "tax": money_text(totals["tax"], rental.currency)}
    )
    if "previous_total" in totals:
        return tax
    held = totals.get("deposit_held", ZERO)
    deposit = (
        _("Deposit held: %(held)s.") % {"held": money_text(held, rental.currency)} if held else _("No deposit is held.")
    )
    return f"{tax} {deposit}".lstrip()


def _outcome(totals: Mapping[str, Decimal], currency: str) -> str:
    back = totals.get("deposit_released", ZERO) + totals["refund_due"]
    said = []
    if back:
        said.append(_("%(back)s goes back to you.") % {"back": money_text(back, currency)})
    if totals["balance_due"]:
        said.append(_("%(balance_due)s is to pay.") % {"balance_due": money_text(totals["balance_due"], currency)})
    return " ".join(said) or _("Nothing is to pay, nothing goes back.")
