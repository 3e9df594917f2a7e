"""Records out: what is known of each, and the sealed PDF itself."""

from datetime import datetime
from typing import Any, Literal
from uuid import UUID

from django.conf import settings
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from ninja import Query, Router, Schema
from pydantic import Field

from handover.api.etags import with_etag
from handover.api.paging import Page, Paged, paged
from handover.api.scopes import Scope
from handover.api.tokens import Scoped, TokenRequest
from handover.api.words import BranchCode, Moment
from handover.record.models import Record
from handover.record.queries import records_in_full
from handover.rental.models import Rental
from shared.access.scope import scoped
from shared.files.store import Altered, read

router = Router(tags=["Records"], auth=Scoped(Scope.RECORDS_READ))
PDF = {"responses": {200: {"content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}}}}}


class RecordsAsked(Paged):
    branch: BranchCode | None = None
    made_from: Moment | None = None


class RecordOut(Schema):
    """Of a sealed PDF; `pdf` is empty until it is made."""

    id: str
    rental: str
    rental_id: str
    branch: str
    kind: Literal["pickup", "return"]
    version: int
    state: Literal["waiting", "ready", "failed"]
    made_at: datetime
    size: int = Field(description="Bytes of the PDF.")
    pdf_sha256: str
    json_sha256: str
    previous_sha256: str
    look_up: str = Field(description="Where whoever holds the paper can look it up.")
    pdf: str


@router.get("/records", response=Page[RecordOut], url_name="api-records", operation_id="list_records")
def records(request: TokenRequest, response: HttpResponse, asked: Query[RecordsAsked]) -> Any:
    """Records in the order they were ordered."""
    rows = scoped(records_in_full(), request.auth.person, "rental__branch")
    wanted = {"rental__branch__code": asked.branch, "made_at__gte": asked.made_from}
    rows = rows.filter(**{name: value for name, value in wanted.items() if value})
    return paged(request, response, rows, asked, _shown)


@router.get("/rentals/{uuid:rental_id}/records", response=list[RecordOut], url_name="api-rental-records",
            operation_id="list_records_of_rental")  # fmt: skip
def of_rental(request: TokenRequest, rental_id: UUID) -> Any:
    rental = get_object_or_404(scoped(Rental.objects.all(), request.auth.person), pk=rental_id)
    return [_shown(row) for row in records_in_full().filter(rental=rental).order_by("made_at")]


@router.get("/records/{uuid:record_id}", response=RecordOut, url_name="api-record", operation_id="get_record")
def record(request: TokenRequest, record_id: UUID) -> Any:
    return _shown(_record(request, record_id))


@router.get("/records/{uuid:record_id}/record.pdf", url_name="api-record-pdf", operation_id="get_record_pdf",
            openapi_extra=PDF)  # fmt: skip
def pdf(request: TokenRequest, record_id: UUID) -> HttpResponse:
    """The file as it was sealed, with record.json inside. 404 until it is made, and once it was erased."""
    row = _record(request, record_id)
    if row.state != Record.State.READY:
        raise Http404
    try:
        data = read(row.file)
    except (Altered, FileNotFoundError):
        raise Http404 from None
    return with_etag(request, _download(row, data))


def _record(request: TokenRequest, pk: UUID) -> Record:
    return get_object_or_404(scoped(records_in_full(), request.auth.person, "rental__branch"), pk=pk)


def _download(row: Record, data: bytes) -> HttpResponse:
    name = f"{row.rental.number}-{row.kind}-{row.version}.pdf"
    return HttpResponse(
        data, content_type="application/pdf", headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )


def _shown(row: Record) -> RecordOut:
    ready = row.state == Record.State.READY
    return RecordOut(
        id=str(row.pk), rental=row.rental.number, rental_id=str(row.rental_id), branch=row.rental.branch.code,
        kind=row.kind, version=row.version, state=row.state, made_at=row.made_at,  # type: ignore[arg-type]
        size=row.size, pdf_sha256=row.pdf_sha256, json_sha256=row.json_sha256, previous_sha256=row.previous_sha256,
        look_up=settings.PUBLIC_URL + reverse("record-lookup", args=[row.rental.number, row.code]),
        pdf=reverse("api-record-pdf", args=[row.pk]) if ready else "",
    )  # fmt: skip
