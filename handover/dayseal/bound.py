"""Which tables the ledger states row by row, so that a change past the actions is found by verify_ledger."""

from collections.abc import Iterator

from django.apps import apps
from django.db.models import Model

from shared.ledger.rows import bind

# Rows of these come into being in actions alone: one that no entry states is an alarm.
WRITTEN_BY_ACTIONS = """
shared.DaySeal
handover.CheckAnswer handover.Correction handover.Count handover.Credit handover.Disagreement
handover.ExcessReduction handover.Extension handover.Fault handover.GasReceipt handover.Grouping handover.Hold
handover.ItemFinding handover.KitUse handover.LatenessStop handover.Mark handover.MarkFinding handover.Movement
handover.MoveVerdict handover.PaperSheet
handover.NotReady handover.Notice handover.Objection handover.ObjectionOutcome handover.OperatorWait handover.Photo
handover.PhotoPoint handover.PlannedNight handover.PlannedParty handover.Reading handover.Refill
handover.Remark handover.Reopening handover.RepairPrice handover.RoadsideCall handover.SealCheck handover.ShownOffline
handover.Signature handover.Soiling handover.Statement handover.Swap handover.TankFinding handover.TopicHeard
handover.TripPhoto handover.Waiver handover.WalkRound handover.DisplacedCustomer
handover.CustomerLink handover.LateAnnounced handover.LinkDelivery handover.Noticed handover.NoticedPhoto
handover.Dispute handover.DisputePhoto handover.Decision handover.Letter handover.Delivery handover.Bundle
handover.Driver handover.Leg handover.Record handover.Rental handover.RentalExtra handover.Sheet handover.TurnaroundJob
consumables.Fill
handover.LegalHold handover.RetentionTerm handover.ErasureRequest handover.Erasure
handover.ApiToken handover.ReportedReading handover.Webhook
"""
# Kept beside an entry by whoever writes it; once it is stated, its changes are.
KEPT_BESIDE = "shared.PersonalValue"
NOT_BOUND = {
    "handover.ApiKey": "which keys a program used; what it did under them is told by entries of its own",
    "handover.ApiUse": "how often a program asked in a minute",
    "handover.CheckTry": "how often somebody guessed in an hour",
    "handover.Customer": "name and address live here to be corrected and erased; what was signed is a personal value",
    "handover.CustomerTerms": "set up by the administrator; what a link was given is in its own row",
    "handover.ErasedFile": "which kept file went, so that pages can say so; the entry of the erasing counts them",
    "handover.ErasedKind": "what was gone through, so that it is not looked at every night",
    "handover.ExtraOffer": "a price list; what was bought is copied into the rental",
    "handover.LinkOpening": "when a link was last opened, to know that it came through",
    "handover.NumberSeries": "a counter",
    "handover.PhotoPair": "made from two photos, and can be made again",
    "handover.RateCard": "a price list; what counts is frozen into the rental at pickup",
    "handover.Receipt": "what became of a tablet's message; what it told is an entry of its own",
    "handover.SavedView": "a search under a name",
    "handover.SearchRow": "follows the rows it finds, and can be made again from them",
    "handover.SearchWord": "as SearchRow",
    "handover.ServicePerson": "who a token acts as; what it may stands in the token",
    "handover.Upload": "bytes on their way",
    "handover.WebhookDelivery": "messages on their way; what they tell of is an entry of its own",
    "handover.WebhookMark": "up to where the ledger was looked through",
}


def bind_rows() -> None:
    """When the program starts."""
    bind(*_models(WRITTEN_BY_ACTIONS), written_by_actions=True)
    bind(*_models(KEPT_BESIDE), written_by_actions=False)


def _models(labels: str) -> Iterator[type[Model]]:
    return (apps.get_model(label) for label in labels.split())
