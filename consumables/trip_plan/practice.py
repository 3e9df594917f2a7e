"""What everybody in the trade says, held against this unit and this party: whether it is so, and why."""

from dataclasses import dataclass
from enum import StrEnum

from consumables.said import Said


class Verdict(StrEnum):
    HOLDS = "holds"
    LESS = "less"  # less is enough here
    MORE = "more"  # more is needed here


@dataclass(frozen=True, slots=True)
class Practice:
    """`custom` is the common practice, `why` what is so for this unit and party, with its figures."""

    custom: Said
    verdict: Verdict
    why: Said
