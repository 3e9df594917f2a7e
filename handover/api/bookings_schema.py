"""What a booking says when it comes in, and what is answered."""

from typing import Annotated

from ninja import Schema
from pydantic import ConfigDict, Field

from handover.api.keys import RowKey
from handover.api.words import SLUG, Amount, BranchCode, Moment, UnitNumber, words
from handover.rental.booking import MOST_DAYS, MOST_DRIVERS

MOST_AT_ONCE = 500

Days = Annotated[int, Field(ge=1, le=MOST_DAYS)]
Option = Annotated[str, words(60)]


class CustomerIn(Schema):
    model_config = ConfigDict(extra="forbid")

    name: Annotated[str, words(120, least=1)]
    email: Annotated[str, words(254)] = ""
    phone: Annotated[str, words(40)] = ""
    language: Annotated[str, Field(pattern=r"^[a-z]{2,3}(-[A-Z]{2})?$", max_length=8)] = "en"


class BookingIn(Schema):
    """Times carry their offset; amounts are text, so that none is rounded on the way."""

    model_config = ConfigDict(extra="forbid")

    reference: Annotated[str, words(60, least=1)] = Field(description="The booking's own number; once a branch.")
    branch: BranchCode
    unit: UnitNumber = Field(description="Number of the unit, such as 407.")
    customer: CustomerIn
    drivers: Annotated[list[Annotated[str, words(120, least=1)]], Field(max_length=MOST_DRIVERS)] = []
    planned_out_at: Moment
    planned_back_at: Moment
    charged_days: Days
    liability_option: Option = ""
    excess: Amount = "0"
    deposit: Amount = "0"
    extras: Annotated[list[Annotated[str, Field(pattern=SLUG)]], Field(max_length=20)] = Field(
        [], description="Codes of Extras that the branch sells; each is bought once."
    )


class BookingRow(BookingIn):
    key: RowKey


class BookingsIn(Schema):
    model_config = ConfigDict(extra="forbid")

    bookings: Annotated[list[BookingRow], Field(min_length=1, max_length=MOST_AT_ONCE)]


class Booked(Schema):
    """Of the booking as it was entered; `href` leads to the rental as it is now."""

    id: str
    number: str
    branch: str
    unit: str
    href: str


class RowAnswer(Schema):
    """`booked`, `already` for a key that was used before, `refused` with why, or `later`: to be sent again."""

    key: str
    outcome: Annotated[str, Field(pattern="^(booked|already|refused|later)$")]
    booking: Booked | None = None
    pointer: str = ""
    detail: str = ""


class BookingsAnswer(Schema):
    """One answer for each row, in their order."""

    results: list[RowAnswer]


class TermsIn(Schema):
    """What is left out stays as it is."""

    model_config = ConfigDict(extra="forbid")

    planned_out_at: Moment | None = None
    planned_back_at: Moment | None = None
    charged_days: Days | None = None
    liability_option: Option | None = None
    excess: Amount | None = None
    deposit: Amount | None = None
