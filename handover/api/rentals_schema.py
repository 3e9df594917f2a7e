"""A rental as programs see it. The customer is not named: the caller's own reference says whose it is."""

from datetime import datetime
from typing import Annotated, Literal

from ninja import Schema
from pydantic import Field

from handover.api.paging import Paged
from handover.api.words import BranchCode, Moment, words

State = Literal["booked", "pickup", "out", "swap", "return", "back", "settled", "cancelled"]


class RentalsAsked(Paged):
    branch: BranchCode | None = None
    state: State | None = None
    reference: Annotated[str, words(60)] = Field("", description="The booking's own number, exactly.")
    number: Annotated[str, words(20)] = ""
    out_from: Moment | None = Field(None, description="Planned pickups from then on.")
    out_until: Moment | None = Field(None, description="Planned pickups before then.")


class LegOut(Schema):
    """One unit for one stretch of the rental; a swap begins the next."""

    unit: str
    unit_id: str
    started_at: datetime | None
    ended_at: datetime | None


class ExtraOut(Schema):
    name: str
    price: str
    purchased_at: datetime


class RentalOut(Schema):
    id: str
    number: str
    branch: str
    state: State
    reference: str
    planned_out_at: datetime
    planned_back_at: datetime
    charged_days: int
    liability_option: str
    currency: str
    excess: str
    deposit: str
    language: str
    legs: list[LegOut]
    extras: list[ExtraOut]
    statements: str = Field(description="Where the versions of its statement are.")
    records: str = Field(description="Where its records are.")
