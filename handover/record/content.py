"""Everything a Record says, as frozen values: the fields are the keys of the machine-readable record.

One field, one key; `document.py` gives the rules of the JSON and reads it. Times carry their zone. Decimals are
printed with the digits they are given, which are the instrument's own. An absent value is None and never zero.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Literal, TypeAlias

from shared.canonical import Json

Kind: TypeAlias = Literal["pickup", "return"]
Stroke: TypeAlias = Sequence[Sequence[float]]


@dataclass(frozen=True, slots=True)
class Heading:
    """`page_url` is where the Record can be looked up; `code` is asked for there."""

    number: str
    kind: Kind
    version: int
    code: str
    made_at: datetime
    page_url: str


@dataclass(frozen=True, slots=True)
class Operator:
    """`locale` orders dates and groups figures, such as en_GB; `distance_unit` is km or mi."""

    name: str
    branch: str
    time_zone: str
    currency: str
    locale: str
    distance_unit: str


@dataclass(frozen=True, slots=True)
class Extra:
    name: str
    covers: str
    price: Decimal | None
    bought_at: datetime | None


@dataclass(frozen=True, slots=True)
class RentalFacts:
    customer: str
    drivers: tuple[str, ...]
    left_at: datetime | None
    planned_return_at: datetime | None
    came_back_at: datetime | None
    odometer_out: Decimal | None
    odometer_back: Decimal | None
    deposit: Decimal | None
    liability: str
    excess: Decimal | None
    extras: tuple[Extra, ...]


@dataclass(frozen=True, slots=True)
class LayoutFacts:
    name: str
    length_mm: int
    width_mm: int
    height_mm: int
    max_mass_kg: int


@dataclass(frozen=True, slots=True)
class UnitFacts:
    number: str
    plate: str
    vin: str
    layout: LayoutFacts


@dataclass(frozen=True, slots=True)
class Hold:
    """What kept the unit here; released_by and reason are empty while it still does.

    Of a check that failed, a worn tyre, a cylinder too full, a kit that expires on the trip, or an overload.
    `put_right`: a later answer ended it, and `released_by` gave that answer; nobody had to let the unit go.
    """

    sentence: str
    put_right: bool
    released_by: str
    reason: str
    released_at: datetime | None


@dataclass(frozen=True, slots=True)
class Check:
    """`answer` is the word that was pressed; `state` open means that nobody answered."""

    text: str
    state: Literal["good", "bad", "not_inspected", "not_applicable", "open"]
    answer: str
    safety: bool
    note: str
    in_bulk: bool
    by: str
    at: datetime | None
    hold: Hold | None


@dataclass(frozen=True, slots=True)
class Scale:
    """The instrument's scale in the reading's unit: lowest, highest, and into how many parts it is graduated."""

    low: Decimal
    high: Decimal
    parts: int


@dataclass(frozen=True, slots=True)
class Counted:
    """What of the difference to the pickup counts, the doubt of both readings taken off. Unit: the reading's.

    `known_to`: expanded uncertainty of the litres between both, 95 %, by JCGM 100:2008; for information, tanks only.
    """

    word: Literal["short", "over", "level", "no_comparison"]
    amount: Decimal | None
    known_to: Decimal | None


@dataclass(frozen=True, slots=True)
class Reading:
    """`code` is the same at pickup and return; `counts` stands at the return only.

    `is_so`: asked about the doubt, whoever read it looked again and said that it is so.
    """

    code: str
    name: str
    state: Literal["read", "not_read", "not_applicable", "open"]
    value: Decimal | None
    unit: str
    half_width: Decimal | None
    resolution: Decimal | None
    instrument: str
    scale: Scale | None
    typed: str
    doubt: str
    is_so: bool
    in_bulk: bool
    by: str
    at: datetime | None
    counts: Counted | None
    hold: Hold | None


@dataclass(frozen=True, slots=True)
class Count:
    """`found` None: not counted."""

    name: str
    expected: int
    found: int | None
    note: str
    in_bulk: bool
    by: str
    at: datetime | None


@dataclass(frozen=True, slots=True)
class SealFound:
    kit: str
    expected_number: str
    found_number: str
    state: Literal["whole", "broken", "not_present", "not_inspected", "open"]
    used: tuple[str, ...]
    note: str
    in_bulk: bool
    by: str
    at: datetime | None
    hold: Hold | None


@dataclass(frozen=True, slots=True)
class TopicText:
    """A topic's words in one language, and the digest that stands for having seen exactly these."""

    language: str
    title: str
    text: str
    state: Literal["english", "approved", "draft"]
    sha256: str


@dataclass(frozen=True, slots=True)
class Topic:
    """`outcome` skipped: not spoken about. `language` is a BCP 47 tag; `heard_by` who confirmed it.

    `texts` are the English and, where it was shown in another language, that; `text_sha256` is of what was shown.
    """

    title: str
    severity: Literal["safety", "damage", "comfort"]
    outcome: Literal["understood", "explained", "shown", "declined", "skipped"]
    language: str
    texts: tuple[TopicText, ...]
    text_sha256: str
    heard_by: str
    seconds: int | None
    by: str
    at: datetime | None


@dataclass(frozen=True, slots=True)
class View:
    """A photo that the layout asks for, and the numbers of the photos that show it."""

    name: str
    state: Literal["taken", "not_taken"]
    photos: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Station:
    number: int
    name: str
    checks: tuple[Check, ...]
    readings: tuple[Reading, ...]
    counts: tuple[Count, ...]
    seals: tuple[SealFound, ...]
    topics: tuple[Topic, ...]
    views: tuple[View, ...]


@dataclass(frozen=True, slots=True)
class Remark:
    text: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class PhotoPoint:
    """Where a mark is seen on a photo: in thousandths of its width and height, from the left and from above."""

    mark: int
    x: int
    y: int


@dataclass(frozen=True, slots=True)
class Photo:
    """`sha256` of the photo as kept, `printed_sha256` of the JPEG or PNG in this file; None: not in this file."""

    number: int
    view: str
    station: int | None
    mark: int | None
    sha256: str
    printed_sha256: str | None
    points: tuple[PhotoPoint, ...]
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class KeysFound:
    """At a key drop; `arrived_until` the latest that it can have come, where nobody saw it."""

    by: str
    at: datetime
    arrived_until: datetime | None


@dataclass(frozen=True, slots=True)
class LetGo:
    """A pickup of a unit with jobs of the turnaround open, or something due on the trip, released with a reason."""

    jobs: tuple[str, ...]
    due: tuple[str, ...]
    reason: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Paper:
    """The numbered sheet that was filled in without power; `lost` says why nothing of it could be keyed in."""

    number: int
    keyed_in_by: str
    keyed_in_at: datetime
    lost: str


@dataclass(frozen=True, slots=True)
class NotSigned:
    """What stands otherwise than the tablet showed when it was signed; `shown` is what the customer read there."""

    station: int
    what: str
    shown: str


@dataclass(frozen=True, slots=True)
class ShownOffline:
    """A walk-round signed on a tablet without a network: the digest of what it showed, and how that differs."""

    sha256: str
    differences: tuple[NotSigned, ...]


@dataclass(frozen=True, slots=True)
class WalkRound:
    kind: Kind
    mode: Literal["attended", "key_drop", "absent"]
    keys: KeysFound | None
    paper: Paper | None
    let_go: LetGo | None
    overload: Hold | None
    shown_offline: ShownOffline | None
    started_at: datetime
    finished_at: datetime | None
    by: str
    stations: tuple[Station, ...]
    remarks: tuple[Remark, ...]
    photos: tuple[Photo, ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """`words` such as "scuff 11 cm, sliding door"; x and y on the plan's drawing; `line` of the Statement."""

    number: int
    words: str
    since: date
    is_new: bool
    finding: str
    line: int | None
    x: Decimal | None
    y: Decimal | None


@dataclass(frozen=True, slots=True)
class Signature:
    """`act` is what was signed ("pickup", "statement 1"), `content_sha256` the digest of what was shown."""

    who: str
    role: str
    act: str
    outcome: Literal["signed", "refused", "absent"]
    reason: str
    at: datetime
    content_sha256: str
    strokes: Sequence[Stroke]


@dataclass(frozen=True, slots=True)
class Step:
    """One operation of a Workings: sign, figure, unit, and where the figure comes from."""

    kind: Literal["step", "result", "due"]
    sign: str
    figure: str
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class Line:
    """`summary` is the Workings in one line; raw - covered = due.

    `found_alone`: it rests on what was found when the customer was not there.
    """

    number: int
    code: str
    ref: str
    title: str
    summary: str
    raw: Decimal
    covered: Decimal
    due: Decimal
    tax: Decimal | None
    found_alone: bool
    workings: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Totals:
    """raw - covered is the sum of the lines; total is due, with `tax` in it (inclusive) or added to it (exclusive)."""

    raw: Decimal
    covered: Decimal
    total: Decimal
    tax: Decimal
    tax_name: str
    tax_mode: Literal["inclusive", "exclusive"]
    deposit_held: Decimal
    deposit_captured: Decimal
    deposit_released: Decimal
    balance_due: Decimal
    refund_due: Decimal


@dataclass(frozen=True, slots=True)
class Objection:
    """What the customer says against a line; `outcome` is how it stands, empty while nobody has answered."""

    line: str
    words: str
    outcome: str
    answer: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Reopened:
    """Why the version before was opened again, and by how much the total changed."""

    version: int
    cause: str
    words: str
    by: str
    at: datetime
    difference: Decimal | None


@dataclass(frozen=True, slots=True)
class Statement:
    """`inputs` and `result` are the pricing's own JSON, kept whole; what is printed stands in the other fields.

    `no_charge` names what was looked at and costs nothing; `findings` says why, in the same order.
    """

    version: int
    drawn_up_at: datetime
    drawn_up_by: str
    rules_version: str
    inputs: Mapping[str, Json]
    result: Mapping[str, Json]
    lines: tuple[Line, ...]
    totals: Totals
    no_charge: tuple[str, ...]
    findings: tuple[str, ...]
    objections: tuple[Objection, ...]
    objection_until: date | None
    reopened: Reopened | None


@dataclass(frozen=True, slots=True)
class PreviousRecord:
    number: str
    kind: Kind
    version: int
    sha256: str


@dataclass(frozen=True, slots=True)
class LedgerHead:
    """The rental's chain as far as this Record stands on it; `day_seal` the day whose seal covers `digest`."""

    chain: str
    first: int
    last: int
    digest: str
    day_seal: date | None


@dataclass(frozen=True, slots=True)
class RecordContent:
    schema: Literal["levelpeg.record/1"]
    record: Heading
    operator: Operator
    rental: RentalFacts
    unit: UnitFacts
    walk_rounds: tuple[WalkRound, ...]
    marks: tuple[Mark, ...]
    signatures: tuple[Signature, ...]
    statement: Statement | None
    previous: PreviousRecord | None
    ledger: LedgerHead

    @property
    def is_return(self) -> bool:
        return self.record.kind == "return"

    def walk(self, kind: Kind) -> WalkRound | None:
        return next((walk for walk in self.walk_rounds if walk.kind == kind), None)

    def photos(self) -> list[Photo]:
        return [photo for walk in self.walk_rounds for photo in walk.photos]
