"""When something that was not taken is sent again. Pure: no clock, no dice."""

from datetime import timedelta

FIRST = timedelta(seconds=30)
LONGEST = timedelta(hours=4)
GIVE_UP = timedelta(hours=24)


def pause(tries: int, share: float) -> timedelta:
    """Before the next try, after so many: twice as long each time up to four hours; share from 0 to 1 of its half.

    The half that is drawn keeps many that failed together from coming back together.
    """
    whole = min(FIRST * (1 << min(tries - 1, 20)), LONGEST)
    return whole / 2 + whole / 2 * share


def is_over(waited: timedelta) -> bool:
    """Whether a try so long after the first would be too late."""
    return waited > GIVE_UP
