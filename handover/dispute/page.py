"""Everything that the page of one dispute shows, and its papers too."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from fleet.models import Unit
from handover.counter.limits import waiver_limits
from handover.counter.models import Waiver
from handover.dispute.drawing import least_svg
from handover.dispute.evidence.finding import Finding
from handover.dispute.evidence.findings import findings
from handover.dispute.evidence.gathering import Gathered, gather
from handover.dispute.evidence.photographs import Photographed, photographed
from handover.dispute.evidence.timeline import Peg, timeline
from handover.dispute.line import ZERO, left_of
from handover.dispute.models import Bundle, Decision, Delivery, Dispute, DisputePhoto, Letter
from handover.dispute.money import Claim, Money, money_of
from handover.rental.models import Rental
from handover.settlement.models import Movement
from handover.statement.lines import LineRow
from shared.access.models import Person
from shared.access.roles import Right
from shared.money import money_text

Outcome = Decision.Outcome


@dataclass(frozen=True, slots=True)
class DisputePage:
    """`asked` is what is due on the line now, or claimed; `money` and `claim` are of a chargeback; `sent` are photos
    that came with the dispute.

    `limit` is what the person's role may waive alone, empty without a limit.
    """

    dispute: Dispute
    found: Gathered
    shown: Photographed
    findings: Sequence[Finding]
    pegs: Sequence[Peg]
    asked: Decimal
    today: date
    decision: Decision | None
    letter: Letter | None
    deliveries: Sequence[Delivery]
    bundles: Sequence[Bundle]
    sent: Sequence[DisputePhoto]
    movements: Sequence[Movement]
    money: Money | None
    claim: Claim | None
    may_decide: bool
    may_bundle: bool
    limit: str

    @property
    def rental(self) -> Rental:
        return self.dispute.rental

    @property
    def line(self) -> LineRow | None:
        return self.found.line

    @property
    def unit(self) -> Unit | None:
        walk = self.found.back or self.found.out
        return walk.leg.unit if walk else None

    @property
    def days_left(self) -> int:
        """Below zero once the deadline has passed."""
        return (self.dispute.answer_by - self.today).days

    @property
    def outcomes(self) -> list[tuple[str, str, str]]:
        """Value, words, and what stays due by it; empty where an amount is typed."""
        none, whole = money_text(ZERO, self.rental.currency), money_text(self.asked, self.rental.currency)
        if self.claim:
            most = money_text(self.claim.asked, self.rental.currency)
            return [
                (Outcome.UPHELD, _("Contest it"), _("ask for %(most)s") % {"most": most}),
                (Outcome.WITHDRAWN, _("Accept it"), none),
            ]
        return [
            (Outcome.UPHELD, _("Line stands"), whole),
            (Outcome.REDUCED, _("Reduce"), ""),
            (Outcome.WAIVED, _("Waive"), none),
            (Outcome.WITHDRAWN, _("Withdraw"), none),
        ]

    @property
    def reason(self) -> str:
        """The reason of the list that lies nearest; another can be chosen."""
        is_photographed = self.shown.out is not None or not self.found.thing.subjects
        return Waiver.Reason.UNCLEAR_BASELINE if is_photographed else Waiver.Reason.PHOTO_MISSING

    @property
    def stick(self) -> SafeString:
        """What the pickup photo can show beside the size of the mark; empty where it cannot be known."""
        least, mark = self.shown.smallest, self.found.mark
        if least is None or mark is None or not least.in_view:
            return SafeString("")
        label = _("This photo cannot show a mark under %(least)s mm. The mark is %(size)s mm.") % {
            "least": -int(-least.least_mm // 1), "size": mark.size_mm,
        }  # fmt: skip
        said = least_svg(
            least.least_mm, mark.size_mm, label=label, flag=f"{mark.size_mm} mm", small=_("too small to show")
        )
        return mark_safe(said)  # noqa: S308 - drawn from numbers, words escaped


def dispute_page(dispute: Dispute, person: Person, *, today: date) -> DisputePage:
    """Of a dispute loaded with IN_FULL, with its branch's zone active: fourteen queries at most with it."""
    found = gather(dispute)
    shown = photographed(found)
    decision = getattr(dispute, "decision", None)
    letter = getattr(decision, "letter", None)
    movements = list(dispute.rental.movements.all()) if dispute.claimed else []
    money = money_of(movements) if dispute.claimed else None
    return DisputePage(
        dispute=dispute,
        found=found,
        shown=shown,
        findings=findings(found, shown),
        pegs=timeline(found, shown, decision),
        asked=decision.before if decision else _asked(found),
        today=today,
        decision=decision,
        letter=letter,
        deliveries=list(letter.deliveries.all()) if letter else [],
        bundles=list(dispute.bundles.all()),
        sent=list(dispute.photos.all()),
        movements=movements,
        money=money,
        claim=money.claim(dispute.claimed) if money and dispute.claimed else None,
        may_decide=dispute.is_open and person.may(Right.REOPEN),
        may_bundle=person.may(Right.SETTLE),
        limit=_limit(dispute.rental, person),
    )


def _asked(found: Gathered) -> Decimal:
    """What is claimed, or due on the line by the latest version less what the ledger says was waived."""
    dispute = found.dispute
    latest = None if dispute.claimed else dispute.rental.statements.last()
    if latest is None:
        return dispute.claimed or ZERO
    taken_back = {entry.subject for entry, _told in found.told("waiver.withdrawn")}
    waived = [
        (told["percent"] and Decimal(told["percent"]), told["amount"] and Decimal(told["amount"]))
        for entry, told in found.told("line.waived")
        if (told["code"], told["ref"]) == (dispute.code, dispute.ref) and entry.subject not in taken_back
    ]
    return left_of(latest, dispute.code, dispute.ref, waived)


def _limit(rental: Rental, person: Person) -> str:
    limit = waiver_limits((rental.frozen or {}).get("rules", {})).get(person.role, "0")
    return "" if limit is None else money_text(Decimal(limit), rental.currency)
