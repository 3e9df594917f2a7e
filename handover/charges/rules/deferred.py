"""Lines that wait for a quote, a wash, the workshop or the police: not charged now, up to an announced most."""

from handover.charges.document.case import Case
from handover.charges.document.desk import Deferred
from handover.charges.sheet import Charge, Finding, Sheet, Why


def deferred(case: Case, sheet: Sheet) -> Sheet:
    """Sets aside the lines that wait. Settlement keeps their announced most out of the deposit.

    Without a ref every line of its code waits. What it rests on stays in the document: once nothing waits any more,
    pricing again charges it.
    """
    kept: list[Charge] = []
    findings: list[Finding] = []
    for charge in sheet.charges:
        waits = next((one for one in case.deferred if _meant(one, charge)), None)
        if waits is None:
            kept.append(charge)
        else:
            findings.append(Finding(charge.code, charge.ref, Why.PROVISIONAL, _sentence(case, waits)))
    return sheet.with_charges(kept).add(findings=findings)


def _meant(one: Deferred, charge: Charge) -> bool:
    return charge.code == one.code and one.ref in (None, charge.ref)


def _sentence(case: Case, one: Deferred) -> str:
    until = f"at most {case.money(one.max)} {case.currency.code}, until {one.until.isoformat()}"
    return f"Not charged yet: waits for {one.awaiting}; {until}." if one.awaiting else f"Not charged yet: {until}."
