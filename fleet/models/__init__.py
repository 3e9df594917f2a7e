"""What the operator owns: branches, layouts with their stations, units."""

from fleet.models.branch import Branch, ClosedDate, OpeningHours, Posting
from fleet.models.layout import CheckItem, Equipment, Fitting, Instrument, Kit, Layout, PhotoView, Station, Topic
from fleet.models.living import CardPlace, EmergencyStep, LayoutStores, Load, NightPlace, UnitStores
from fleet.models.topic_text import TopicText, english_sha256
from fleet.models.unit import DueDate, Unit, UnitInstrument, UnitKit

__all__ = [
    "Branch",
    "CardPlace",
    "CheckItem",
    "ClosedDate",
    "DueDate",
    "EmergencyStep",
    "Equipment",
    "Fitting",
    "Instrument",
    "Kit",
    "Layout",
    "LayoutStores",
    "Load",
    "NightPlace",
    "OpeningHours",
    "PhotoView",
    "Posting",
    "Station",
    "Topic",
    "TopicText",
    "Unit",
    "UnitInstrument",
    "UnitKit",
    "UnitStores",
    "english_sha256",
]
