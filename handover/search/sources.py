"""Which rows are found, by which of their columns, and the page they lead to.

A column with words that is added to one of these tables is named here, or nobody finds it.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from handover.search.kinds import Kind

Label = str | Promise
RENTAL, NAME, UNIT = "Rental", "Name", "Unit"


@dataclass(frozen=True, slots=True)
class Source:
    """Paths lead with dots from the row: to its rental or unit, to when it was, to the target of its page.

    `numbers` and `words` are its columns; `page` is the name of an address that takes the target alone. What has
    neither rental nor unit has a branch of its own.
    """

    model: str
    kind: Kind
    label: Label
    page: str
    numbers: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    rental: str = "rental"
    unit: str = ""
    at: str = "at"
    target: str = "rental_id"

    @property
    def columns(self) -> tuple[str, ...]:
        return (*self.numbers, *self.words)


def _walked(model: str, label: Label, *words: str, at: str = "at") -> Source:
    return Source(model, Kind.WORDS, label, "walk", words=words, rental="walk.leg.rental", at=at, target="walk_id")


def _at_the_counter(model: str, label: Label, page: str, *words: str) -> Source:
    return Source(model, Kind.WORDS, label, page, words=("words", *words))


SOURCES = (
    _walked("Remark", _("Remark"), "text"),
    _walked("CheckAnswer", _("Note of a check"), "note"),
    _walked("Count", _("Note of a count"), "note"),
    _walked("Hold", _("Stop"), "sentence", "reason", at="walk.started_at"),
    Source("SealCheck", Kind.NUMBER, _("Seal"), "walk", numbers=("seal_number",), words=("note",),
           rental="walk.leg.rental", target="walk_id"),
    Source("WalkRound", Kind.WORDS, _("Walk-round"), "walk", words=("keys_found_by", "left_because"),
           rental="leg.rental", at="started_at", target="pk"),
    Source("Signature", Kind.WORDS, _("Not signed"), "rental", words=("reason",)),
    Source("Noticed", Kind.WORDS, _("Noticed by the customer"), "customer-links", words=("words", "place")),
    Source("LateAnnounced", Kind.WORDS, _("Lateness announced by the customer"), "rental", words=("words",)),
    Source("Objection", Kind.WORDS, _("Objection"), "objection", words=("title", "words"), target="pk"),
    Source("ObjectionOutcome", Kind.WORDS, _("Outcome of an objection"), "objection", words=("words",),
           target="objection_id"),
    _at_the_counter("Waiver", _("Waiver"), "statement", "withdrawn_words"),
    _at_the_counter("Credit", _("Credit"), "statement"),
    _at_the_counter("Correction", _("Correction"), "statement"),
    _at_the_counter("Refill", _("Refill"), "statement"),
    _at_the_counter("Reopening", _("Opened again"), "statement"),
    _at_the_counter("Soiling", _("Cleaning"), "found"),
    _at_the_counter("TankFinding", _("Tanks"), "found", "foul_water"),
    _at_the_counter("KitUse", _("Kit"), "found"),
    _at_the_counter("ItemFinding", _("Thing"), "found"),
    Source("MoveVerdict", Kind.WORDS, _("Moved before it was photographed"), "damages", words=("words",)),
    Source("RepairPrice", Kind.NUMBER, _("Repair price"), "damages", numbers=("reference",), words=("reference",)),
    Source("Dispute", Kind.DISPUTE, _("Dispute"), "dispute", numbers=("number", "reason_code"),
           words=("title", "words"), target="pk"),
    Source("Decision", Kind.DISPUTE, _("Decision"), "dispute", words=("words",), rental="dispute.rental",
           target="dispute_id"),
    Source("Extension", Kind.WORDS, _("Extension"), "trip", words=("channel",)),
    Source("Swap", Kind.WORDS, _("Unit swap"), "trip", words=("reason", "place", "moved")),
    Source("GasReceipt", Kind.NUMBER, _("Gas receipt"), "trip", numbers=("ref",), words=("reason",)),
    Source("Fault", Kind.WORDS, _("Fault"), "trip", words=("system", "symptom", "instruction", "place")),
    Source("RoadsideCall", Kind.NUMBER, _("Roadside call"), "trip", numbers=("case_reference",),
           words=("diagnosis",)),
    Source("OperatorWait", Kind.WORDS, _("Wait"), "trip", words=("cause",)),
    Source("LatenessStop", Kind.NUMBER, _("Lateness stopped"), "trip", numbers=("reference",), words=("reference",)),
    Source("DisplacedCustomer", Kind.WORDS, _("Next customer"), "trip", words=("proof",)),
    Source("Notice", Kind.NUMBER, _("Fine or toll"), "trip", numbers=("ref", "plate"), words=("authority", "place")),
    Source("Movement", Kind.NUMBER, _("Payment"), "settlement", numbers=("reference",), words=("reference",)),
    Source("NotReady", Kind.WORDS, _("Let go"), "rental", words=("reason",)),
    Source("TurnaroundJob", Kind.WORDS, _("Turnaround job"), "job", words=("name", "note"), rental="", unit="unit",
           target="pk"),
    Source("LegalHold", Kind.HOLD, _("Legal hold"), "retention", words=("reason",), target="rental.branch_id"),
    Source("PaperSheet", Kind.PAPER, _("Paper sheet"), "paper-sheets", numbers=("number",), words=("words",),
           rental="", at="printed_at", target="branch_id"),
)  # fmt: skip

MADE = {
    RENTAL: (Kind.RENTAL, _("Rental"), "rental"),
    NAME: (Kind.NAME, _("Customer or driver"), "rental"),
    UNIT: (Kind.UNIT, _("Unit"), "unit-jobs"),
    "Record": (Kind.RECORD, _("Record"), "record"),
    "Statement": (Kind.STATEMENT, _("Statement"), "statement-version"),
    "Mark": (Kind.MARK, _("Mark"), "damages"),
    "Grouping": (Kind.WORDS, _("Damages put together"), "damages"),
}
"""Those whose texts are made of several columns or rows: telling.py says how."""

BY_MODEL: Mapping[str, Source] = {source.model: source for source in SOURCES}
LABELS: Mapping[str, Label] = {source.model: source.label for source in SOURCES} | {
    name: label for name, (_kind, label, _page) in MADE.items()
}
PAGES: Mapping[str, str] = {source.model: source.page for source in SOURCES} | {
    name: page for name, (_kind, _label, page) in MADE.items()
}

KINDS: Mapping[Kind, Label] = {
    Kind.RENTAL: _("Rentals"),
    Kind.NAME: _("Customers and drivers"),
    Kind.UNIT: _("Units"),
    Kind.RECORD: _("Records"),
    Kind.STATEMENT: _("Statements"),
    Kind.DISPUTE: _("Disputes"),
    Kind.MARK: _("Marks"),
    Kind.NUMBER: _("Seals, notices, receipts, payments"),
    Kind.WORDS: _("In words"),
    Kind.HOLD: _("Legal holds"),
    Kind.PAPER: _("Paper sheets"),
}
