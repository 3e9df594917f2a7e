"""What is owed, and why: a case in, a priced statement out. No clock, no database, no web.

`parse` reads a pricing document, `price` prices it, `answer` does both for documents from outside.
"""

from handover.charges.document.case import Case
from handover.charges.document.parse import parse
from handover.charges.document.problems import DocumentError, Problem
from handover.charges.line import Line
from handover.charges.priced import Priced
from handover.charges.pricing import RULES, RULES_VERSION, price
from handover.charges.sheet import CoverPart, Finding
from handover.charges.workings import Show, Sign, Step

__all__ = [
    "RULES",
    "RULES_VERSION",
    "Case",
    "CoverPart",
    "DocumentError",
    "Finding",
    "Line",
    "Priced",
    "Problem",
    "Show",
    "Sign",
    "Step",
    "parse",
    "price",
]
