"""Readings in: what an instrument in the vehicle reports; and out again."""

from datetime import datetime
from decimal import Decimal
from functools import partial
from typing import Annotated, Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from ninja import Query, Router, Schema, Status
from pydantic import ConfigDict, Field

from fleet.models import Unit
from handover.acting import Act
from handover.api.keys import KEY_HEADER, once
from handover.api.paging import Page, Paged, paged
from handover.api.scopes import Scope
from handover.api.tokens import Caller, Scoped, TokenRequest
from handover.api.units_schema import ReadingOut
from handover.api.words import Moment, words
from handover.reported.actions import Report, report_reading
from handover.reported.models import ReportedReading
from shared.access.scope import scoped
from shared.ids import uuid7

router = Router(tags=["Readings"])


class ReadingIn(Schema):
    """At least one of the three figures, as decimal text."""

    model_config = ConfigDict(extra="forbid")

    instrument: Annotated[str, words(40, least=1)] = "reported"
    at: Moment
    odometer_km: Annotated[str, Field(pattern=r"^[0-9]{1,7}(\.[0-9])?$")] | None = None
    fuel_percent: Annotated[str, Field(pattern=r"^(100(\.0{1,2})?|[0-9]{1,2}(\.[0-9]{1,2})?)$")] | None = None
    battery_volts: Annotated[str, Field(pattern=r"^[0-9]{1,2}(\.[0-9]{1,3})?$")] | None = None


class ReadingKept(Schema):
    id: str
    unit: str
    at: datetime
    doubt: str


@router.get(
    "/units/{uuid:unit_id}/readings", response=Page[ReadingOut], url_name="api-readings", operation_id="list_readings",
    auth=Scoped(Scope.UNITS_READ),
)  # fmt: skip
def readings(request: TokenRequest, response: HttpResponse, unit_id: UUID, asked: Query[Paged]) -> Any:
    """What instruments in the unit reported, in the order in which it came."""
    unit = get_object_or_404(scoped(Unit.objects.all(), request.auth.person), pk=unit_id)
    rows = ReportedReading.objects.filter(unit=unit).select_related("unit")
    return paged(request, response, rows, asked, shown)


@router.post(
    "/units/{uuid:unit_id}/readings", response={201: ReadingKept}, url_name="api-readings",
    operation_id="report_reading", auth=Scoped(Scope.READINGS_WRITE),
)  # fmt: skip
def report(
    request: TokenRequest, response: HttpResponse, unit_id: UUID, reading: ReadingIn, idempotency_key: str = KEY_HEADER
) -> Any:
    """Keep what an instrument in a unit reported.

    It is kept as reported, beside what people read: it replaces no reading of a walk-round, and no charge rests on
    it. Where an odometer is read on a walk-round that stands lower than the last report, the person is asked again.
    """
    unit = get_object_or_404(scoped(Unit.objects.select_related("branch"), request.auth.person), pk=unit_id)
    body = {"unit": str(unit_id), **reading.model_dump(mode="json")}
    answer, before = once(
        request.auth, key=idempotency_key, body=body, act=partial(_report, request.auth, unit, reading)
    )
    if before:
        response["Idempotent-Replayed"] = "true"
    return Status(201, answer)


def _report(caller: Caller, unit: Unit, sent: ReadingIn) -> dict[str, str]:
    told = Report(
        instrument=sent.instrument, at=sent.at, odometer_km=_figure(sent.odometer_km),
        fuel_percent=_figure(sent.fuel_percent), battery_volts=_figure(sent.battery_volts),
    )  # fmt: skip
    act = Act(by=caller.person, at=timezone.now(), key=uuid7(), device="api")
    row = report_reading(unit=unit, report=told, act=act)
    return {"id": str(row.pk), "unit": unit.number, "at": row.at.isoformat(), "doubt": row.doubt}


def _figure(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


def shown(row: ReportedReading) -> ReadingOut:
    return ReadingOut(
        id=str(row.pk), unit=row.unit.number, instrument=row.instrument, at=row.at, received_at=row.received_at,
        odometer_km=row.odometer_km, fuel_percent=row.fuel_percent, battery_volts=row.battery_volts, doubt=row.doubt,
    )  # fmt: skip
