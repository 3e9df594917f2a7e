"""What the operator owns: branches, layouts with their stations, units."""

from fleet.models.branch import Branch, ClosedDate, OpeningHours, Posting
from fleet.models.layout import CheckItem, Equipment, Fitting, Instrument, Kit, Layout, PhotoView, Station, Topic
from fleet.models.topic_text import TopicText, english_sha256
from fleet.models.unit import DueDate, Unit, UnitInstrument, UnitKit

__all__ = [
    "Branch",
    "CheckItem",
    "ClosedDate",
    "DueDate",
    "Equipment",
    "Fitting",
    "Instrument",
    "Kit",
    "Layout",
    "OpeningHours",
    "PhotoView",
    "Posting",
    "Station",
    "Topic",
    "TopicText",
    "Unit",
    "UnitInstrument",
    "UnitKit",
    "english_sha256",
]
