"""How many wrong tries there may be before the next has to wait, and until when. Pure."""

from collections.abc import Iterable
from datetime import datetime, timedelta

COOL_OFF = timedelta(minutes=15)
# Of one name from one address. A second factor counts for the name alone: who comes that far has the password.
OF_A_NAME = 5
# Of one address, whatever the names: a yard with forty people on one line mistypes more often than one of them.
OF_AN_ADDRESS = 50

Tries = Iterable[tuple[datetime, int]]
"""When the last of some wrong tries was made, aware, and how many there were."""


def stopped_until(tries: Tries, limit: int) -> datetime | None:
    """When so few of the tries are younger than COOL_OFF that the next may be made; None when it may be now."""
    counted = 0
    for when, how_many in sorted(tries, reverse=True):
        counted += how_many
        if counted >= limit:
            return when + COOL_OFF
    return None
