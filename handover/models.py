"""The rows of what happens, each kept in the sub-package that writes them."""

from handover.counter.models import (
    Correction,
    ItemFinding,
    KitUse,
    Objection,
    ObjectionOutcome,
    Refill,
    Reopening,
    Soiling,
    TankFinding,
    Waiver,
)
from handover.damage.models import Grouping, RepairPrice
from handover.photo.models import Photo
from handover.record.models import Record
from handover.rental.models import (
    Customer,
    Driver,
    ExtraOffer,
    Leg,
    NumberSeries,
    RateCard,
    Rental,
    RentalExtra,
)
from handover.statement.models import Signature, Statement
from handover.walkround.models import (
    CheckAnswer,
    Count,
    Hold,
    Mark,
    MarkFinding,
    Reading,
    Remark,
    SealCheck,
    Sheet,
    TopicHeard,
    WalkRound,
)

__all__ = [
    "CheckAnswer",
    "Correction",
    "Count",
    "Customer",
    "Driver",
    "ExtraOffer",
    "Grouping",
    "Hold",
    "ItemFinding",
    "KitUse",
    "Leg",
    "Mark",
    "MarkFinding",
    "NumberSeries",
    "Objection",
    "ObjectionOutcome",
    "Photo",
    "RateCard",
    "Reading",
    "Record",
    "Refill",
    "Remark",
    "Rental",
    "RentalExtra",
    "Reopening",
    "RepairPrice",
    "SealCheck",
    "Sheet",
    "Signature",
    "Soiling",
    "Statement",
    "TankFinding",
    "TopicHeard",
    "Waiver",
    "WalkRound",
]
