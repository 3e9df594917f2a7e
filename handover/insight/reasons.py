"""Why a thing that was checked is not charged, in the words of the page."""

from django.utils.translation import gettext as _

from handover.charges.sheet import Why


def reason_words(reason: str) -> str:
    """A reason of a kept result; one of another version of the rules is shown as it was written."""
    return _words().get(reason, reason.replace("_", " "))


def _words() -> dict[str, str]:
    return {
        Why.NO_BASELINE: _("No baseline: not read at pickup"),
        Why.NOT_READ: _("Not read at return"),
        Why.NO_RULE: _("The rate card has no rule for it"),
        Why.LEVEL: _("Level: came back as it left"),
        Why.SURPLUS: _("Came back with more"),
        Why.WITHIN_TOLERANCE: _("Within the tolerance"),
        Why.GAUGE_CANNOT_TELL: _("The gauge can’t tell"),
        Why.WITHIN_GRACE: _("Within the grace"),
        Why.WITHIN_ALLOWANCE: _("Within the allowance"),
        Why.INCLUDED: _("Included"),
        Why.COVERED: _("Extras pay"),
        Why.EXEMPT: _("Exempt"),
        Why.FAIR_WEAR: _("Fair wear"),
        Why.PRE_EXISTING: _("Was there at pickup"),
        Why.OPERATOR_CAUSED: _("Caused by the branch"),
        Why.DRAINED: _("Drained by the branch"),
        Why.ONE_FINDING_ONE_LINE: _("Charged on another line"),
        Why.NOT_PROVEN: _("Not proven"),
        Why.TOO_LATE: _("Found too late"),
        Why.NOT_APPLICABLE: _("Does not apply"),
        Why.NOT_REIMBURSED: _("Not reimbursed"),
        Why.PROVISIONAL: _("Provisional"),
        Why.MERGED: _("Merged with another"),
        Why.ASK: _("To be asked"),
    }
