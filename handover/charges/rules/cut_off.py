"""Late findings: what the branch found after the announced time is not charged any more."""

from datetime import timedelta

from handover.charges.document.case import Case
from handover.charges.sheet import Charge, Finding, Sheet, Why

SENTENCE = "Not charged: found after the announced time for late findings."


def found_too_late(case: Case, code: str, ref: str) -> bool:
    """Whether a thing was found later after the return than was announced; without an announced time, never."""
    hours = case.rules.late_findings.cut_off_hours
    if hours is None:
        return False
    back = case.rental.returned_at or case.rental.due_back
    last = back.utc + timedelta(minutes=int(hours * 60))
    return any((one.code, one.ref) == (code, ref) and one.found_at.utc > last for one in case.late_findings)


def cut_off(case: Case, sheet: Sheet) -> Sheet:
    """Takes off every charge found too late, with the service fee that hangs on it."""
    if not case.late_findings:
        return sheet
    late = {(one.code, one.ref) for one in sheet.charges if found_too_late(case, one.code, one.ref)}
    late |= {("FUEL_SERVICE", ref) for code, ref in late if code == "FUEL"}
    kept = [one for one in sheet.charges if (one.code, one.ref) not in late]
    if not any(one.code == "GAS" for one in kept):
        kept = [one for one in kept if one.code != "GAS_SERVICE"]
    dropped: list[Charge] = [one for one in sheet.charges if one not in kept]
    findings = [Finding(one.code, one.ref, Why.TOO_LATE, SENTENCE) for one in dropped]
    return sheet.with_charges(kept).add(findings=findings)
