"""Everything a person does about a trip. Pages call these; nothing else writes."""

from handover.trip.actions.extending import ExtensionTerms, agree_extension, confirm_extension
from handover.trip.actions.notices import NoticeSaid, note_notice, tell_of_notice
from handover.trip.actions.photographing import add_trip_photo
from handover.trip.actions.receipts import ReceiptSaid, note_gas_receipt
from handover.trip.actions.reducing import ReductionTerms, reduce_excess
from handover.trip.actions.swapping import SwapPlan, begin_swap, choose_other_unit
from handover.trip.actions.troubles import FaultSaid, RoadsideSaid, note_fault, note_roadside
from handover.trip.actions.waiting import note_displaced, note_wait, stop_lateness

__all__ = [
    "ExtensionTerms",
    "FaultSaid",
    "NoticeSaid",
    "ReceiptSaid",
    "ReductionTerms",
    "RoadsideSaid",
    "SwapPlan",
    "add_trip_photo",
    "agree_extension",
    "begin_swap",
    "choose_other_unit",
    "confirm_extension",
    "note_displaced",
    "note_fault",
    "note_gas_receipt",
    "note_notice",
    "note_roadside",
    "note_wait",
    "reduce_excess",
    "stop_lateness",
    "tell_of_notice",
]
