"""All that the page of one rental shows, in a fixed number of queries."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Exists, OuterRef, Prefetch, QuerySet
from django.utils.timezone import localtime

from fleet.models import Unit
from handover.customer.actions.announcing import KIND as LATE_ANNOUNCED
from handover.customer.actions.noticing import KIND as NOTICED
from handover.customer.late.standing import late_said
from handover.customer.models import LateAnnounced, Noticed
from handover.customer.staff import noticed_of
from handover.dispute.told import Told as DisputeTold
from handover.dispute.told import disputes_told
from handover.record.models import Record
from handover.rental.covers import covers_words
from handover.rental.due import due_before_return
from handover.rental.models import ExtraOffer, Leg, Rental, RentalExtra
from handover.rental.next_step import NextStep, Standing, next_step
from handover.rental.selling import offers_for
from handover.rental.timeline import Told, told
from handover.statement.models import Signature, Statement
from handover.turnaround.ready import why_not_ready
from handover.walkround.models import Hold, WalkRound
from handover.walkround.not_signed import NotSigned, differences_in, signed_under
from shared.access.models import Person
from shared.access.roles import Right
from shared.ledger.models import Entry

State = Rental.State
ON_THE_ROAD = [State.PICKUP, State.OUT, State.SWAP, State.RETURN]
WAITS_FOR_PICKUP = {State.BOOKED, State.SWAP}
SELLS = {State.BOOKED, State.PICKUP, State.OUT}


@dataclass(frozen=True, slots=True)
class RentalPage:
    """`extras` pairs each Extra with what it covers in words; `story` is the ledger, the latest first.

    `noticed` is what the customer told after the pickup, `late_said` when they say they will be back; both are asked
    for only where the ledger says that there is some.
    """

    rental: Rental
    legs: Sequence[Leg]
    drivers: Sequence[str]
    extras: Sequence[tuple[RentalExtra, str]]
    offers: Sequence[ExtraOffer]
    walks: Sequence[WalkRound]
    statements: Sequence[Statement]
    records: Sequence[Record]
    holds: Sequence[Hold]
    story: Sequence[Told]
    disputes: Sequence[DisputeTold]
    noticed: Sequence[Noticed]
    late_said: LateAnnounced | None
    step: NextStep
    may_key_in: bool

    @property
    def signed_offline(self) -> list[tuple[WalkRound, list[NotSigned]]]:
        """Each walk-round that was signed on a tablet without a network, with what stands otherwise now."""
        signed = ((walk, signed_under(walk, walk.shown_offline.all())) for walk in self.walks)
        return [(walk, differences_in(shown)) for walk, shown in signed if shown]

    @property
    def unit(self) -> Unit:
        return self.legs[-1].unit

    @property
    def gone_at(self) -> datetime | None:
        return self.legs[0].started_at

    @property
    def back_at(self) -> datetime | None:
        return self.legs[-1].ended_at

    @property
    def board_day(self) -> date:
        """The day board it stands on next: of the pickup, and of the return once it is gone."""
        waits = self.rental.state in {State.BOOKED, State.PICKUP}
        return localtime(self.rental.planned_out_at if waits else self.rental.planned_back_at).date()


def rentals_in_full() -> QuerySet[Rental]:
    legs = Leg.objects.select_related("unit__layout")
    return Rental.objects.select_related("branch", "customer").prefetch_related(Prefetch("legs", legs))


def rental_page(rental: Rental, person: Person) -> RentalPage:
    """Of a rental from `rentals_in_full`, with its branch's zone active."""
    walks = list(
        WalkRound.objects.filter(leg__rental=rental)
        .select_related("started_by", "finished_by", "leg__unit", "paper")
        .prefetch_related("shown_offline")
        .order_by("started_at")
    )
    records = list(rental.records.all())
    holds = list(Hold.objects.filter(walk__leg__rental=rental, released_at=None)) if walks else []
    standing = Standing(
        rental=rental,
        walk=next((walk for walk in walks if walk.finished_at is None), None),
        due=due_before_return(list(rental.legs.all())[-1].unit, rental) if rental.state in WAITS_FOR_PICKUP else None,
        elsewhere=out_for(rental) if rental.state in WAITS_FOR_PICKUP else "",
        not_ready=why_not_ready(list(rental.legs.all())[-1].unit, rental) if rental.state in WAITS_FOR_PICKUP else "",
        record=next((record for record in reversed(records) if record.kind == Record.Kind.RETURN), None),
    )
    entries = list(Entry.objects.filter(chain=rental.pk).select_related("actor").order_by("sequence"))
    kinds = {entry.kind for entry in entries}
    return RentalPage(
        rental=rental,
        legs=list(rental.legs.all()),
        drivers=list(rental.drivers.values_list("name", flat=True)),
        extras=[(extra, covers_words(extra.covers)) for extra in rental.extras.all()],
        offers=offers_for(rental) if rental.state in SELLS and person.may(Right.BOOK) else (),
        walks=walks,
        statements=list(_statements(rental)),
        records=records,
        holds=holds,
        story=told(entries)[::-1],
        disputes=disputes_told(entries),
        noticed=noticed_of(rental) if NOTICED in kinds else (),
        late_said=late_said(rental) if LATE_ANNOUNCED in kinds else None,
        step=next_step(standing, person),
        may_key_in=person.may(Right.PICKUP),
    )


def _statements(rental: Rental) -> QuerySet[Statement]:
    """Without their inputs and results, which are long."""
    signed = Signature.objects.filter(statement=OuterRef("pk"), role="customer", outcome="signed")
    rows = rental.statements.defer("inputs", "result").select_related("drawn_up_by")
    return rows.annotate(is_signed=Exists(signed)).order_by("-version")


def out_for(rental: Rental) -> str:
    """The number of the rental that its unit is still out for."""
    unit = list(rental.legs.all())[-1].unit_id
    legs = Leg.objects.filter(unit=unit, rental__state__in=ON_THE_ROAD, ended_at=None).select_related("rental")
    other = legs.exclude(rental=rental).first()
    return other.rental.number if other else ""
