"""What there is to find, in the order in which it is shown. Pure."""

from enum import StrEnum

from shared.access.roles import Right


class Kind(StrEnum):
    """The letter stands in the keys of the index."""

    RENTAL = "a"
    NAME = "b"
    UNIT = "c"
    RECORD = "d"
    STATEMENT = "e"
    DISPUTE = "f"
    MARK = "g"
    NUMBER = "h"
    WORDS = "i"
    HOLD = "j"
    PAPER = "k"


NEEDS = {Kind.HOLD: Right.VERIFY, Kind.PAPER: Right.PICKUP}
"""Beyond seeing the branch, which all of them need."""
