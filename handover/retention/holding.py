"""What holds data of a rental back: that it is not over, a legal hold, an open dispute with its evidence."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from uuid import UUID

from django.db.models import Q
from django.utils.translation import gettext as _

from handover.counter.models import Correction, Objection, ObjectionOutcome, Waiver
from handover.customer.models import Noticed, NoticedPhoto
from handover.damage.models import Grouping, RepairPrice
from handover.dispute.evidence.gathering import IN_FULL, Gathered, gather
from handover.dispute.models import Decision, Dispute, DisputePhoto
from handover.photo.models import Photo, PhotoPair, PhotoPoint
from handover.rental.models import Rental
from handover.retention.ending import OVER
from handover.retention.kinds import Kind
from handover.retention.models import LegalHold
from handover.retention.schedule import EVERY_KIND, Hold
from handover.statement.models import Signature, Statement
from shared.dates import dated

NEEDED_TO_ANSWER = frozenset({Kind.NAME, Kind.SIGNATURES, Kind.DOCUMENTS})
"""Of a contested line: who it was, what they signed, the sealed papers. Its photos and words are kept row by row."""

NOT_OF_A_PAYMENT = frozenset({Kind.PHONE, Kind.PLACES, Kind.DELIVERIES, Kind.TABLET})
"""A bank that claims the payment back contests everything but these."""


def holds_of(rentals: Iterable[Rental], *, today: date) -> Mapping[UUID, list[Hold]]:
    """By rental. Two queries, and some more for each open dispute."""
    rows = list(rentals)
    holds: dict[UUID, list[Hold]] = {row.pk: list(_not_over(row)) for row in rows}
    for legal in LegalHold.objects.filter(rental__in=rows, lifted_at=None).order_by("at"):
        if legal.until is None or legal.until >= today:
            holds[legal.rental_id].append(Hold(_("Legal hold: %(reason)s") % {"reason": legal.reason}, legal.until))
    disputes = Dispute.objects.filter(rental__in=rows, state=Dispute.State.OPEN).select_related(*IN_FULL)
    for dispute in disputes:
        holds[dispute.rental_id].append(_of_dispute(dispute))
    return holds


def _not_over(rental: Rental) -> Iterator[Hold]:
    if rental.state not in OVER:
        yield Hold(_("The rental is not settled yet."), None)


def _of_dispute(dispute: Dispute) -> Hold:
    """It lasts until it is decided; its deadline is the day until which that has to be."""
    said = {"number": dispute.number, "title": dispute.title, "day": dated(dispute.answer_by)}
    reason = _("Dispute %(number)s, %(title)s, is open; it is to be answered by %(day)s.") % said
    if not dispute.code:
        return Hold(reason, dispute.answer_by, EVERY_KIND - NOT_OF_A_PAYMENT)
    return Hold(reason, dispute.answer_by, NEEDED_TO_ANSWER, evidence_of(dispute))


def evidence_of(dispute: Dispute) -> frozenset[UUID]:
    """The ids of the rows that the contested line rests on. Of a dispute loaded with IN_FULL."""
    found = gather(dispute)
    return frozenset({dispute.pk, *_said(dispute), *_shown(found), *_priced(dispute)})


def _said(dispute: Dispute) -> Iterator[UUID]:
    """What was said about the line, then and before."""
    line = Q(rental=dispute.rental_id, code=dispute.code, ref=dispute.ref)
    yield from _ids(Objection, line)
    yield from _ids(Waiver, line)
    yield from _ids(ObjectionOutcome, Q(objection__in=Objection.objects.filter(line)))
    yield from _ids(Dispute, line)
    yield from _ids(Decision, Q(dispute__in=Dispute.objects.filter(line)))
    yield from _ids(DisputePhoto, Q(dispute__in=Dispute.objects.filter(line)))


def _shown(found: Gathered) -> Iterator[UUID]:
    """Photos of the thing, their pairs, what the customer noticed of the Mark, corrections of its readings."""
    tapped = set(PhotoPoint.objects.filter(mark=found.thing.mark).values_list("photo_id", flat=True))
    subjects = {*found.thing.subjects, found.thing.mark} - {None}
    photos = [photo.pk for photo in found.photos if photo.subject in subjects or photo.pk in tapped]
    yield from photos
    yield from _ids(Photo, Q(pk__in=tapped, walk__leg__rental=found.dispute.rental_id))
    yield from _ids(PhotoPair, Q(out__in=photos) | Q(now__in=photos))
    yield from _ids(Correction, Q(reading__in=[row.pk for row in found.readings]))
    if found.thing.mark:
        noticed = Q(rental=found.dispute.rental_id, mark=found.thing.mark)
        yield from _ids(Noticed, noticed)
        yield from _ids(NoticedPhoto, Q(noticed__in=Noticed.objects.filter(noticed)))


def _priced(dispute: Dispute) -> Iterator[UUID]:
    """The versions as they were signed, and of a damage what was decided and asked for it."""
    rental = Q(rental=dispute.rental_id)
    yield from _ids(Statement, rental)
    yield from _ids(Signature, rental)
    if dispute.code == "DAMAGE":
        yield from _ids(Grouping, rental)
        yield from _ids(RepairPrice, rental)


def _ids(model: type, where: Q) -> Iterator[UUID]:
    yield from model.objects.filter(where).values_list("pk", flat=True)  # type: ignore[attr-defined]
