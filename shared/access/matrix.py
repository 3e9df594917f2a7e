"""Who comes to which address: the one table. Pure data, held to on every request by shared/access/gate.py.

An address that stands nowhere here opens for nobody, and the program does not start with one. A right is what it takes
to come in at all; of several any one is enough, and the action decides which by what it is about (a walk-round is a
pickup or a return). OWN: rows of a branch of one's own; others do not exist (shared/access/scope.py). `manage.py
access_matrix` prints it, tests/pages/test_permissions.py tries every cell.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from shared.access.roles import RIGHTS, Right, Role


class Door(StrEnum):
    PUBLIC = "public"  # nobody signs in
    LINK = "link"  # whoever has the customer's address, which opens one rental
    TOKEN = "token"  # noqa: S105 - programs, by a token with its scopes
    PASSWORD = "password"  # noqa: S105 - the password is given, the second factor may be outstanding
    PERSON = "person"  # signed in, with all that is asked of them


class Reach(StrEnum):
    OWN = "own branches"
    ALL = "everywhere"


@dataclass(frozen=True, slots=True)
class Access:
    """Without rights: whoever is through the door, as for one's own page."""

    door: Door = Door.PERSON
    reach: Reach = Reach.ALL
    rights: frozenset[Right] = frozenset()
    sentence: str = ""

    def lets_in(self, role: Role) -> bool:
        if self.door == Door.TOKEN:
            return False
        return not self.rights or bool(self.rights & RIGHTS[role])


R = Right
HELD = "Hosts, the return bay and managers look after what is kept for a person."
DESK = "The desk is for managers, coordinators and administrators."

WITHOUT_SIGNING_IN: Mapping[Door, str] = {
    Door.PUBLIC: """
        sign-in people-here take-over tablet-hello tablet-sign-in tablet-people tablet-change
        service-worker manifest shell check check-root record-lookup api-reference api-openapi
        health-live health-ready""",
    Door.TOKEN: "metrics",  # LEVELPEG_METRICS_TOKEN
    Door.LINK: """
        customer-page customer-cab-card customer-statement customer-report customer-late customer-topics
        customer-record customer-photo customer-own-photo customer-object""",
    Door.PASSWORD: """
        ask-second-factor prove-password second-factor add-app add-passkey remove-factor recovery-codes
        recovery-codes-file new-recovery-codes sign-out""",
}

SIGNED_IN: tuple[tuple[Reach, tuple[Right, ...], str], ...] = (
    (Reach.ALL, (), """home me change-password keep-pin lock-tablet tablet-lock end-session end-other-sessions"""),
    (Reach.ALL, (R.SEE,), """
        search search-export keep-view tablet-day tablet-entries tablet-upload held-entries"""),
    (Reach.OWN, (R.SEE,), """
        day-board rental walk station so-far sign-walk tablet-walk tablet-walk-of-leg
        photo photo-page photo-thumb photo-original photo-pair photo-laid noticed-photo
        statement statement-version line objection read-again found damages settlement customer-links
        cab-card cab-card-pdf record record-check record-pdf trip trip-photo trip-photo-thumb
        disputes dispute dispute-photo dispute-letter tanks tank tank-of fill-receipt record-fill tyres
        turnaround unit-jobs job job-photo rename-view remove-view"""),
    (Reach.OWN, (R.BOOK,), """
        new-booking sell-extra cab-card-plan cab-card-party cab-card-nights confirm-extension
        trip-extension trip-fault trip-roadside trip-excess"""),
    (Reach.OWN, (R.PICKUP,), """begin-pickup trip-swap trip-other-unit paper-sheets print-paper paper-blanks"""),
    (Reach.OWN, (R.RETURN,), """begin-return found-zone found-tanks found-kit found-thing"""),
    (Reach.OWN, (R.PICKUP, R.RETURN), """
        rest-as-before answer-check take-reading count check-seal hear-topic choose-language pin-mark judge-mark
        add-photo mark-on-photo remark hand-over take-back customer-left key-in-paper"""),
    (Reach.ALL, (R.PICKUP, R.RETURN), """try-held-again set-held-aside"""),
    (Reach.OWN, (R.SETTLE,), """
        correct-reading draw-up-statement sign-statement unsigned-statement settle-statement
        object-line group-damages price-repair
        make-customer-link send-customer-link revoke-customer-link make-record-again
        trip-receipt trip-wait trip-stop trip-displaced trip-notice notice notice-told
        settlement-hold settlement-pay settlement-refund capture-hold release-deposit settlements settlements-export
        hand-on-dispute order-bundle dispute-bundle dispute-letter-again open-dispute open-chargeback"""),
    (Reach.OWN, (R.WAIVE,), """waive-line withdraw-waiver give-credit"""),
    (Reach.OWN, (R.REOPEN,), """reopen-statement decide-moved decide-dispute lose-paper"""),
    (Reach.OWN, (R.RELEASE,), """release-hold let-go"""),
    (Reach.OWN, (R.TURNAROUND,), """add-job assign-job"""),
    (Reach.OWN, (R.READY,), """job-not-needed"""),
    (Reach.ALL, (R.SET_UP,), """briefing translations approve-translation take-translation-back"""),
    (Reach.OWN, (R.SET_UP,), """
        use-curve use-straight-line begin-rate-card import-rate-card publish-rate-card delete-rate-card"""),
    (Reach.OWN, (R.SET_UP, R.VERIFY), """desk rate-cards rate-card rate-card-preview rate-card-csv"""),
    (Reach.ALL, (R.VERIFY,), """
        day-seals day-seal day-seal-check day-seal-sheet day-seal-file
        insight insight-audit insight-chapter insight-answer insight-rentals insight-export"""),
    (Reach.OWN, (R.VERIFY,), """
        ledger-extract retention person-data person-json erase-person place-hold lift-hold"""),
    (Reach.ALL, (R.SET_UP, R.PEOPLE), """admin:index"""),
    (Reach.ALL, (R.TABLETS,), """tablets"""),
    (Reach.OWN, (R.TABLETS,), """tablet-lost"""),
    (Reach.OWN, (R.PEOPLE,), """
        retention-terms reset-second-factor api-access api-deliveries api-make-token api-send-all-again
        api-revoke-token api-stop-webhook api-send-again"""),
)  # fmt: skip
SENTENCES = {"try-held-again": HELD, "set-held-aside": HELD, "desk": DESK}
# Pages of the setting-up desk each have the rights of their RoleAdmin (shared/admin.py); these get there at all.
DESK_OF_SETTING_UP, SETTING_UP = "admin:", Access(Door.PERSON, Reach.OWN, frozenset({R.SET_UP, R.PEOPLE}))
# Operations of the API: each asks for one scope of a token (handover/api/scopes.py).
ROUTES_OF_PROGRAMS, PROGRAMS = "api/v1/", Access(Door.TOKEN, Reach.OWN)


def _rows() -> Iterator[tuple[str, Access]]:
    for door, names in WITHOUT_SIGNING_IN.items():
        yield from ((name, Access(door)) for name in names.split())
    for reach, rights, names in SIGNED_IN:
        for name in names.split():
            yield name, Access(Door.PERSON, reach, frozenset(rights), SENTENCES.get(name, ""))


TABLE: Mapping[str, Access] = dict(_rows())


def access_to(name: str, route: str) -> Access | None:
    """By the name of the address, with its namespace, and its route; None where it stands in no row."""
    if name in TABLE:
        return TABLE[name]
    if name.startswith(DESK_OF_SETTING_UP):
        return SETTING_UP
    return PROGRAMS if route.removeprefix("^").startswith(ROUTES_OF_PROGRAMS) else None
