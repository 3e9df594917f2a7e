"""A record: where it stands, its file, and whether it is as it was sealed."""

from uuid import UUID

from csp.decorators import csp_exempt
from django.conf import settings
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from handover.record.actions import make_record
from handover.record.models import Record
from handover.record.queries import Checked, checked, ledger_entry, previous_of, records_in_full
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped
from shared.files.store import Altered, read


@require_safe
def record(request: PersonRequest, pk: UUID) -> HttpResponse:
    return _shown(request, _record(request, pk))


def _record(request: PersonRequest, pk: UUID, right: Right = Right.SEE) -> Record:
    row = get_object_or_404(scoped(records_in_full(), request.user, "rental__branch"), pk=pk)
    require(request.user, right, row.rental.branch_id)
    return row


def _shown(request: PersonRequest, row: Record, verdict: Checked | None = None) -> HttpResponse:
    with in_zone_of(row.rental.branch):
        context = {
            "record": row,
            "rental": row.rental,
            "entry": ledger_entry(row),
            "previous": previous_of(row),
            "verdict": verdict,
            "may_make": request.user.may(Right.SETTLE),
            "address": settings.PUBLIC_URL + reverse("record-lookup", args=[row.rental.number, row.code]),
        }
        return render(request, "records/record.html", context)


@require_safe
def check(request: PersonRequest, pk: UUID) -> HttpResponse:
    """The same page with what was found: nothing is written, so it may be asked for as often as one likes."""
    row = _record(request, pk)
    return _shown(request, row, checked(row))


# Browsers show a PDF with a viewer of their own, which a policy that allows nothing would stop; the file runs nothing.
@csp_exempt()  # type: ignore[arg-type]
@require_safe
def pdf(request: PersonRequest, pk: UUID) -> HttpResponse:
    """The file itself: shown in the browser, or kept with ?download."""
    row = _record(request, pk)
    if row.state != Record.State.READY:
        return redirect("record", row.pk)
    try:
        data = read(row.file)
    except (Altered, FileNotFoundError):
        return redirect("record-check", row.pk)
    way = "attachment" if "download" in request.GET else "inline"
    name = f"{row.rental.number}-{row.kind}-{row.version}.pdf"
    headers = {"Content-Disposition": f'{way}; filename="{name}"', "Cache-Control": "private, no-store"}
    return HttpResponse(data, content_type="application/pdf", headers=headers)


@require_POST
def make_again(request: PersonRequest, pk: UUID) -> HttpResponse:
    """After what stopped it was put right."""
    row = _record(request, pk, Right.SETTLE)
    make_record.enqueue(str(row.pk))
    return redirect("record", row.pk)
