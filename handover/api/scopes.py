"""What a token may: the one table of scopes. A person's rights follow from the role, a token's from its scopes."""

from enum import StrEnum

from django.utils.translation import gettext_noop

from shared.access.roles import Right


class Scope(StrEnum):
    BOOKINGS_WRITE = "bookings:write"
    RENTALS_READ = "rentals:read"
    UNITS_READ = "units:read"
    STATEMENTS_READ = "statements:read"
    RECORDS_READ = "records:read"
    SETTLEMENT_READ = "settlement:read"
    READINGS_WRITE = "readings:write"
    WEBHOOKS_MANAGE = "webhooks:manage"


SCOPE_WORDS = {
    Scope.BOOKINGS_WRITE: gettext_noop("Enter bookings, and change them before the pickup"),
    Scope.RENTALS_READ: gettext_noop("Rentals: times, units, Extras, where they stand; no customer by name"),
    Scope.UNITS_READ: gettext_noop("Units, what falls due, which are free, what their instruments reported"),
    Scope.STATEMENTS_READ: gettext_noop("Statements with their whole workings"),
    Scope.RECORDS_READ: gettext_noop("Records: the sealed PDF, with all that the customer signed"),
    Scope.SETTLEMENT_READ: gettext_noop("Deposits, payments and refunds, and the export for the accounts"),
    Scope.READINGS_WRITE: gettext_noop("Send in what instruments in a vehicle report"),
    Scope.WEBHOOKS_MANAGE: gettext_noop("Ask to be told what happens, and stop being told"),
}

RIGHTS_OF: dict[Scope, frozenset[Right]] = {
    scope: frozenset({Right.SEE, Right.BOOK} if scope is Scope.BOOKINGS_WRITE else {Right.SEE}) for scope in Scope
}
"""What a scope lets an action do; reads ask for the scope itself."""
