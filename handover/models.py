"""The rows of what happens, each kept in the sub-package that writes them."""

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
    "Count",
    "Customer",
    "Driver",
    "ExtraOffer",
    "Hold",
    "Leg",
    "Mark",
    "MarkFinding",
    "NumberSeries",
    "Photo",
    "RateCard",
    "Reading",
    "Record",
    "Remark",
    "Rental",
    "RentalExtra",
    "SealCheck",
    "Sheet",
    "Signature",
    "Statement",
    "TopicHeard",
    "WalkRound",
]
