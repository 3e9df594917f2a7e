"""The inventory: where personal data of customers and drivers live, under which kind they go, and what remains.

One row a table and kind. `words` are columns of typed text, which say from then on that they were erased; `empty` are
columns that are emptied; `files` name kept files, whose bytes are removed while the row keeps their names, which are
digests. What is no column of a row stands in ELSEWHERE. Every other column of text of the product stands in
NOT_PERSONAL with the reason; a test finds the column that stands nowhere.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.apps import apps
from django.db.models import Model, Q, QuerySet

from handover.photo.models import PhotoPoint
from handover.rental.models import Rental
from handover.retention.kinds import Kind
from handover.walkround.models import Mark


@dataclass(frozen=True, slots=True)
class Place:
    """`path` leads from the row to its rental; `only` narrows the rows; `remains` says what is left of one."""

    kind: Kind
    model: str
    path: str
    remains: str
    words: tuple[str, ...] = ()
    empty: Mapping[str, Any] = field(default_factory=dict)
    files: tuple[str, ...] = ()
    only: Callable[[], Q] = Q

    @property
    def table(self) -> type[Model]:
        return apps.get_model("handover", self.model)

    @property
    def columns(self) -> tuple[str, ...]:
        return (*self.words, *self.empty, *self.files)

    def rows(self, rental: Rental) -> QuerySet[Model]:
        found = self.table._base_manager.filter(**{self.path: rental.pk}).filter(self.only())
        return found.distinct().order_by("pk")


def _marked(photo: str = "") -> Q:
    """Photos of a Mark, or on which one was tapped: they show the vehicle."""
    marks, tapped = Mark.objects.values("pk"), PhotoPoint.objects.values("photo_id")
    return Q(**{f"{photo}subject__in": marks}) | Q(**{f"{photo}pk__in": tapped})


WALK, PAIR, PHOTO = "walk__leg__rental", "now__walk__leg__rental", ("original", "display", "thumb")
SAID = "who, when, and that something was said"
SHOWN = "digest, view, when, by whom"

PLACES = (
    Place(Kind.NAME, "Customer", "rentals", "language", words=("name",), empty={"email": ""}),
    Place(Kind.NAME, "Signature", "rental", "role, when, digest of what was signed", words=("name",),
          only=lambda: Q(role="customer")),
    Place(Kind.NAME, "TopicHeard", WALK, "topic, language, outcome, seconds", words=("heard_by",)),
    Place(Kind.PHONE, "Customer", "rentals", "language", empty={"phone": ""}),
    Place(Kind.PHONE, "Driver", "rental", "how many drivers", words=("name",), empty={"licence_expires_on": None}),
    Place(Kind.PHONE, "Rental", "pk", "number, times, amounts, what was promised", empty={"outside_reference": ""}),
    Place(Kind.SIGNATURES, "Signature", "rental", "role, when, digest of what was signed", empty={"strokes": []}),
    Place(Kind.WORDS, "Signature", "rental", "whether signed, refused or absent", words=("reason",)),
    Place(Kind.WORDS, "Remark", WALK, SAID, words=("text",)),
    Place(Kind.WORDS, "WalkRound", "leg__rental", "when the keys were found, when the customer left",
          words=("keys_found_by", "left_because")),
    Place(Kind.WORDS, "CheckAnswer", WALK, "the answer", words=("note",)),
    Place(Kind.WORDS, "Count", WALK, "the count", words=("note",)),
    Place(Kind.WORDS, "SealCheck", WALK, "seal, its number, what was used", words=("note",)),
    Place(Kind.WORDS, "Hold", WALK, "what failed, when and by whom it was released", words=("reason",)),
    Place(Kind.WORDS, "ShownOffline", WALK, "digest of what was shown", empty={"text": "", "differences": []}),
    Place(Kind.WORDS, "Leg", "rental", "unit and times", words=("cause",)),
    *(Place(Kind.WORDS, name, "rental", "amounts, figures, who, when", words=("words",)) for name in (
        "Credit", "Correction", "Refill", "Reopening", "Objection", "ObjectionOutcome", "Soiling", "TankFinding",
        "KitUse", "ItemFinding",
    )),
    Place(Kind.WORDS, "Waiver", "rental", "line, amount, reason from the list", words=("words", "withdrawn_words")),
    Place(Kind.WORDS, "Grouping", "rental", "which Marks are one event", words=("reason",)),
    Place(Kind.WORDS, "MoveVerdict", "rental", "Mark, charged or dropped", words=("words",)),
    Place(Kind.WORDS, "PaperSheet", "walk__leg__rental", "its number, times, that it was lost", words=("words",)),
    Place(Kind.WORDS, "RepairPrice", "rental", "Mark and amount", words=("reference",)),
    Place(Kind.WORDS, "Noticed", "rental", "station, Mark, when, in time or not", words=("words", "place")),
    Place(Kind.WORDS, "LateAnnounced", "rental", "the time they said, when they said it", words=("words",)),
    Place(Kind.WORDS, "Dispute", "rental", "line, amount, deadline", words=("words",)),
    Place(Kind.WORDS, "Decision", "dispute__rental", "outcome and amounts", words=("words",)),
    Place(Kind.WORDS, "Extension", "rental", "days, rate, times", words=("channel",)),
    Place(Kind.WORDS, "Swap", "rental", "units and times", words=("reason", "place", "moved")),
    Place(Kind.WORDS, "GasReceipt", "rental", "number of the receipt, amount", words=("reason",)),
    Place(Kind.WORDS, "Fault", "rental", "system, odometer, when", words=("symptom", "instruction", "place")),
    Place(Kind.WORDS, "RoadsideCall", "rental", "when, distance", words=("case_reference", "diagnosis")),
    Place(Kind.WORDS, "OperatorWait", "rental", "from and until", words=("cause",)),
    Place(Kind.WORDS, "LatenessStop", "rental", "cause from the list, when", words=("reference",)),
    Place(Kind.WORDS, "DisplacedCustomer", "rental", "amount", words=("proof",)),
    Place(Kind.WORDS, "Notice", "rental", "number, authority, amount, days", words=("place",)),
    Place(Kind.WORDS, "NotReady", "rental", "unit and jobs", words=("reason",)),
    Place(Kind.WORDS, "TurnaroundJob", WALK, "what was done", words=("note",)),
    Place(Kind.WORDS, "LegalHold", "rental", "from when until when", words=("reason",),
          only=lambda: Q(lifted_at__isnull=False)),
    Place(Kind.SENT, "NoticedPhoto", "noticed__rental", SHOWN, files=PHOTO),
    Place(Kind.SENT, "DisputePhoto", "dispute__rental", SHOWN, files=PHOTO),
    Place(Kind.SENT, "TripPhoto", "rental", SHOWN, files=PHOTO),
    Place(Kind.PHOTOS, "Photo", WALK, SHOWN, files=PHOTO, only=lambda: ~_marked()),
    Place(Kind.PHOTOS, "PhotoPair", PAIR, SHOWN, files=("aligned",), only=lambda: ~_marked("now__")),
    Place(Kind.DAMAGE, "Photo", WALK, SHOWN, files=PHOTO, only=_marked),
    Place(Kind.DAMAGE, "PhotoPair", PAIR, SHOWN, files=("aligned",), only=lambda: _marked("now__")),
    Place(Kind.DOCUMENTS, "Record", "rental", "number, kind, version, digest, size, day", files=("file",)),
    Place(Kind.DOCUMENTS, "Letter", "decision__dispute__rental", "digest, language, day", files=("file",)),
    Place(Kind.DOCUMENTS, "Bundle", "dispute__rental", "digest of the manifest, size, day", files=("file",)),
    Place(Kind.DOCUMENTS, "Movement", "rental", "kind, amount, day", empty={"reference": ""}),
    Place(Kind.PLACES, "PlannedNight", "rental", "the night", words=("name",),
          empty={"latitude": None, "longitude": None}),
    Place(Kind.DELIVERIES, "LinkDelivery", "link__rental", "when, and what came of it", words=("problem",)),
    Place(Kind.DELIVERIES, "Delivery", "letter__decision__dispute__rental", "when, and what came of it",
          words=("problem",), empty={"address": ""}),
)  # fmt: skip

PERSONAL_VALUES: Mapping[str, Kind | None] = {
    "customer.name": Kind.NAME,
    "customer.email": Kind.DELIVERIES,
    "signature.strokes": Kind.SIGNATURES,
    "payment.reference": Kind.DOCUMENTS,
    "customer.late_announced": Kind.WORDS,
    "customer.noticed": Kind.WORDS,
    "customer.noticed_place": Kind.WORDS,
    "customer.objection": Kind.WORDS,
    "customer.remark": Kind.WORDS,
    "dispute.reason": Kind.WORDS,
    "keys.found_by": Kind.WORDS,
    "trip.words": Kind.WORDS,
    "words": Kind.WORDS,
    "staff.name": None,
}
"""By the kind in the Ledger's payload: value and salt go, the digest remains. Who signed for the branch is staff's."""

ELSEWHERE: Mapping[str, str] = {
    "statement inputs and results": "words copied from the rows above: erasing/copies.py takes them out and prices "
    "again, to the same amounts",
    "groupings of damages (events)": "cause and place of an event are words inside JSON; erased with the words",
    "what tablets sent (Receipt, part files of Upload)": "kind tablet: entry, sentence and reason; the part file goes",
    "Ledger payloads": "salted digests alone; entries never change",
    "salts of row digests (RowStated)": "the entry of the erasing states each row again, with a new salt",
    "frozen promises, Sheets, Extras": "prices, layouts and questions; nobody is in them",
    "customer links": "the digest of a token; how often opened and when last",
    "log of the setting-up pages": "a rental by its number, with the columns that changed; no customer is edited",
    "sessions, results of tasks": "ids only; the nightly run deletes those that are over",
    "the search (SearchRow, SearchWord)": "follows the rows it finds: what is erased there is no longer found, and the "
    "keys of a row go with its text",
    "saved views (SavedView)": "one that names the person goes with the name, once nothing is found by it any more",
    "mail laid down in a folder": "without a mail server; the nightly run deletes what is older than the addresses",
    "free pages and write-ahead log": "emptied by VACUUM, which the nightly run does after erasing",
    "backups": "hold what was there; they go when their own time is over",
}

NOT_PERSONAL: Mapping[str, str] = {
    "Customer.language": "one of the languages",
    "NumberSeries.kind": "which series",
    "RateCard.rules RateCard.note": "a price list",
    "ExtraOffer.code ExtraOffer.name ExtraOffer.covers ExtraOffer.sold_text": "a price list",
    "Rental.number Rental.liability_option Rental.frozen": "what was agreed; nobody is named",
    "RentalExtra.name RentalExtra.covers": "what was bought",
    "CheckTry.who": "a keyed digest that changes each hour",
    "Sheet.text": "the questions of a walk-round",
    "WalkRound.language TopicHeard.language Letter.language": "one of the languages",
    "Reading.typed Reading.doubt Correction.typed Correction.doubt": "a reading",
    "SealCheck.seal_number SealCheck.used KitUse.kit": "a seal, a kit",
    "Mark.place Hold.sentence TankFinding.foul_water": "the vehicle",
    "Photo.view Photo.content_type PhotoPair.regions": "what is photographed",
    "Statement.inputs Statement.result": "see ELSEWHERE",
    "Statement.rules_version Statement.currency Movement.currency GasReceipt.currency": "figures",
    "Waiver.code Waiver.ref Objection.code Objection.ref Objection.title": "a line",
    "Dispute.code Dispute.ref Dispute.title Dispute.reason_code": "a line; a bank's code",
    "Grouping.events": "see ELSEWHERE",
    "Letter.problem Bundle.problem Record.problem": "why a file could not be made",
    "Bundle.left_out": "names of files inside the bundle",
    "Record.code": "printed beside the number",
    "Receipt.kind Receipt.field Receipt.sentence Receipt.body Receipt.reason Disagreement.kind": "see ELSEWHERE",
    "Upload.refused": "why a photo is not taken",
    "SearchRow.source": "one of the tables",
    "SearchRow.text SavedView.name SavedView.phrase SavedView.narrowed": "see ELSEWHERE",
    "GasReceipt.ref Notice.ref Notice.authority": "name a line of the statement; who it was, the authority knows",
    "Notice.plate Notice.zone Leg.plate": "the vehicle, the clocks",
    "Fault.system": "a part of the vehicle",
    "TurnaroundJob.name TurnaroundJob.amount_unit TurnaroundJob.photo": "work on the vehicle",
    "NotReady.due": "due dates",
    "ServicePerson.username ServicePerson.password ServicePerson.first_name ServicePerson.last_name "
    "ServicePerson.email ServicePerson.pin": "who a token of a program acts as: no person",
    "ApiToken.name ApiToken.scopes": "a program, what it may",
    "ApiKey.answer": "ids and numbers",
    "ReportedReading.instrument ReportedReading.doubt": "an instrument of the vehicle",
    "Webhook.url Webhook.kinds WebhookDelivery.event WebhookDelivery.problem": "a program's address, what it is told",
}
