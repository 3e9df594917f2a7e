"""A priced case: the lines, their sums, and why what was checked is not charged."""

from collections.abc import Mapping
from dataclasses import dataclass

from handover.charges.line import Line, UntrueError
from handover.charges.settlement import Totals
from handover.charges.sheet import ZERO, CoverPart, Finding, Lapsed
from handover.charges.workings import plain
from shared.canonical import Json, canonical


@dataclass(frozen=True, slots=True)
class Priced:
    """What is owed. The lines sum to the totals; `derived` holds late_minutes and deemed_return_at."""

    lines: tuple[Line, ...]
    totals: Totals
    derived: Mapping[str, str | int]
    findings: tuple[Finding, ...]
    lapsed: tuple[Lapsed, ...]
    rules_version: str
    currency: str
    exponent: int

    def __post_init__(self) -> None:
        if sum((line.amount for line in self.lines), ZERO) != self.totals.lines_sum:
            raise UntrueError("the lines do not sum to the total")

    def as_document(self) -> dict[str, Json]:
        """JSON of it, amounts as decimal strings with the currency's digits."""
        return {
            "lines": [_line(line, self.exponent) for line in self.lines],
            "totals": self.totals.as_document(),
            "derived": dict(self.derived),
            "workings": [_workings(line) for line in self.lines],
            "findings": [finding.as_document() for finding in self.findings],
            "lapsed": [lapsed.as_document() for lapsed in self.lapsed],
            "rules_version": self.rules_version,
        }

    def as_bytes(self) -> bytes:
        """The one byte form (RFC 8785): the same case and rules always give the same bytes."""
        return canonical(self.as_document())


def _line(line: Line, exponent: int) -> dict[str, str | None]:
    return {
        "code": line.code,
        "ref": line.ref,
        "raw": plain(line.raw),
        "covered": f"{line.covered:.{exponent}f}",
        "amount": plain(line.amount),
        "tax_code": line.tax_code,
        "tax": None if line.tax is None else plain(line.tax),
    }


def _workings(line: Line) -> dict[str, Json]:
    return {
        "code": line.code,
        "ref": line.ref,
        "measure": line.measure,
        "steps": [step.as_document() for step in line.workings],
        "cover": [_cover(part) for part in line.cover],
    }


def _cover(part: CoverPart) -> dict[str, str]:
    return {"name": part.name, "amount": plain(part.amount), "label": part.label, "source": part.source}
