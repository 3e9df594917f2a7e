"""What is decided and found at the counter, after the walk-rounds. Later rows count, earlier ones stay."""

from handover.counter.models.desk import Correction, Credit, Objection, ObjectionOutcome, Refill, Reopening, Waiver
from handover.counter.models.found import ItemFinding, KitUse, Soiling, TankFinding

__all__ = [
    "Correction",
    "Credit",
    "ItemFinding",
    "KitUse",
    "Objection",
    "ObjectionOutcome",
    "Refill",
    "Reopening",
    "Soiling",
    "TankFinding",
    "Waiver",
]
