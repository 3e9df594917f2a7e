"""What the rules write on while a case is priced: charges, findings, and what else they derive."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum

from handover.charges.workings import Step

ZERO = Decimal(0)


class Why(StrEnum):
    """Why a thing that was checked is not charged, or not charged in full."""

    NO_BASELINE = "no_baseline"
    NOT_READ = "not_read"
    NO_RULE = "no_rule"
    LEVEL = "level"
    SURPLUS = "surplus"
    WITHIN_TOLERANCE = "within_tolerance"
    GAUGE_CANNOT_TELL = "gauge_cannot_tell"
    WITHIN_GRACE = "within_grace"
    WITHIN_ALLOWANCE = "within_allowance"
    INCLUDED = "included"
    COVERED = "covered"
    EXEMPT = "exempt"
    FAIR_WEAR = "fair_wear"
    PRE_EXISTING = "pre_existing"
    OPERATOR_CAUSED = "operator_caused"
    DRAINED = "drained"
    ONE_FINDING_ONE_LINE = "one_finding_one_line"
    NOT_PROVEN = "not_proven"
    TOO_LATE = "too_late"
    NOT_APPLICABLE = "not_applicable"
    NOT_REIMBURSED = "not_reimbursed"
    PROVISIONAL = "provisional"
    MERGED = "merged"
    ASK = "ask"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing checked, by the code and ref its line would have, with the reason as a word and a sentence."""

    code: str
    ref: str
    reason: Why
    sentence: str

    def as_document(self) -> dict[str, str]:
        return {"code": self.code, "ref": self.ref, "reason": self.reason.value, "sentence": self.sentence}


@dataclass(frozen=True, slots=True)
class CoverPart:
    """How much of a charge one extra (or the liability option) pays."""

    name: str
    amount: Decimal
    label: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class Charge:
    """A line in the making: its full price and how that came about, then what is covered.

    `group` ties charges together: a leg's fuel to its fee, an event's items to each other. `quantity` and `rate`
    let a cover of so many litres or kilograms be worked out; `like` is the code whose tax class it keeps.
    """

    code: str
    ref: str
    raw: Decimal
    steps: tuple[Step, ...]
    measure: str
    group: str = ""
    quantity: Decimal = ZERO
    rate: Decimal | None = None
    like: str = ""
    tax_class: str | None = None
    cover: tuple[CoverPart, ...] = ()

    @property
    def covered(self) -> Decimal:
        return sum((part.amount for part in self.cover), ZERO) if self.cover else ZERO

    @property
    def due(self) -> Decimal:
        return self.raw - self.covered if self.cover else self.raw

    def covered_by(self, part: CoverPart) -> "Charge":
        """The charge with one more cover, which never pays more than is left."""
        amount = min(part.amount, self.due)
        if amount <= 0:
            return self
        paid = part if amount == part.amount else replace(part, amount=amount)
        return replace(self, cover=(*self.cover, paid))


@dataclass(frozen=True, slots=True)
class Lapsed:
    """A waiver that no longer takes effect, and why."""

    code: str
    ref: str
    sentence: str

    def as_document(self) -> dict[str, str]:
        return {"code": self.code, "ref": self.ref, "sentence": self.sentence}


@dataclass(frozen=True, slots=True)
class Sheet:
    """What the rules so far have found; each rule returns the next one."""

    charges: tuple[Charge, ...] = ()
    findings: tuple[Finding, ...] = ()
    derived: Mapping[str, str | int] = field(default_factory=dict)
    lapsed: tuple[Lapsed, ...] = ()

    def add(
        self,
        *,
        charges: Iterable[Charge] = (),
        findings: Iterable[Finding] = (),
        derived: Mapping[str, str | int] | None = None,
        lapsed: Iterable[Lapsed] = (),
    ) -> "Sheet":
        return Sheet(
            (*self.charges, *charges),
            (*self.findings, *findings),
            {**self.derived, **derived} if derived else self.derived,
            (*self.lapsed, *lapsed),
        )

    def with_charges(self, charges: Iterable[Charge]) -> "Sheet":
        return replace(self, charges=tuple(charges))
