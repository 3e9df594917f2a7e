"""Units, what falls due on them, and which are free."""

from datetime import date, datetime
from decimal import Decimal
from typing import Annotated

from ninja import Schema
from pydantic import Field

from handover.api.paging import Paged
from handover.api.words import BranchCode, Moment, words


class UnitsAsked(Paged):
    branch: BranchCode | None = None
    number: Annotated[str, words(10)] = ""


class DueOut(Schema):
    kind: str
    due_on: date


class UnitOut(Schema):
    id: str
    number: str
    branch: str
    layout: str = Field(description="Code of the layout, such as skerry.")
    plate: str
    berths: int
    belted_seats: int
    odometer_km: int
    retired: bool
    open_jobs: int = Field(description="What earlier returns left to do.")
    due_dates: list[DueOut]


class AvailabilityAsked(Schema):
    branch: BranchCode
    out_at: Moment
    back_at: Moment
    layout: Annotated[str, words(50)] = ""


class Taken(Schema):
    planned_out_at: datetime
    planned_back_at: datetime


class UnitFree(Schema):
    """`free` when no rental takes it then and nothing falls due on the way; otherwise `taken` and `due` say why not."""

    id: str
    number: str
    layout: str
    free: bool
    taken: list[Taken]
    due: list[DueOut]


class Availability(Schema):
    branch: str
    out_at: datetime
    back_at: datetime
    units: list[UnitFree]


class ReadingOut(Schema):
    """What an instrument in the vehicle reported. It charges nobody: what is charged rests on a walk-round."""

    id: str
    unit: str
    instrument: str
    at: datetime
    received_at: datetime
    odometer_km: Decimal | None
    fuel_percent: Decimal | None
    battery_volts: Decimal | None
    doubt: str = Field(description="What looked unlikely when it came; empty when nothing did.")
