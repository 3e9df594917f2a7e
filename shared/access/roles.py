"""Who may do what: the one table. Pure data, read by pages, actions and tests alike."""

from enum import StrEnum


class Role(StrEnum):
    HOST = "host"
    RETURN_BAY = "return_bay"
    MANAGER = "manager"
    COORDINATOR = "coordinator"
    ADMINISTRATOR = "administrator"


class Right(StrEnum):
    SEE = "see"  # day board, rentals, statements, records of one's own branches
    BOOK = "book"  # enter and change bookings before pickup
    PICKUP = "pickup"  # do the pickup walk-round and hand over
    RETURN = "return"  # do the return walk-round and take back
    SETTLE = "settle"  # draw up a statement and have it signed
    WAIVE = "waive"  # take something off a line, up to the limit of the role
    REOPEN = "reopen"  # open what is settled again, correct what was read at pickup
    TURNAROUND = "turnaround"  # do what a return left to do, and hand it to somebody
    READY = "ready"  # say that something a return left to do is not needed
    RELEASE = "release"  # let a unit go that a failed safety check holds
    SET_UP = "set_up"  # layouts, units, rate cards, extras
    PEOPLE = "people"  # people, roles, postings
    VERIFY = "verify"  # check the ledger
    TABLETS = "tablets"  # say that a tablet is lost: nobody is signed in on it any more


ROLE_NAMES = {
    Role.HOST: "Branch host",
    Role.RETURN_BAY: "Return bay",
    Role.MANAGER: "Manager",
    Role.COORDINATOR: "Fleet coordinator",
    Role.ADMINISTRATOR: "Administrator",
}

RIGHTS: dict[Role, frozenset[Right]] = {
    Role.HOST: frozenset(
        {Right.SEE, Right.BOOK, Right.PICKUP, Right.RETURN, Right.SETTLE, Right.WAIVE, Right.TURNAROUND}
    ),
    Role.RETURN_BAY: frozenset({Right.SEE, Right.RETURN, Right.SETTLE, Right.WAIVE, Right.TURNAROUND}),
    Role.MANAGER: frozenset(
        {
            Right.SEE,
            Right.BOOK,
            Right.PICKUP,
            Right.RETURN,
            Right.SETTLE,
            Right.WAIVE,
            Right.REOPEN,
            Right.TURNAROUND,
            Right.READY,
            Right.RELEASE,
            Right.VERIFY,
            Right.TABLETS,
        }
    ),
    Role.COORDINATOR: frozenset({Right.SEE, Right.BOOK, Right.SET_UP, Right.TURNAROUND, Right.READY}),
    Role.ADMINISTRATOR: frozenset({Right.SEE, Right.SET_UP, Right.PEOPLE, Right.VERIFY, Right.TABLETS}),
}
