"""The papers of a dispute: its bundle, its letter, and the photos that the customer sent with it."""

from uuid import UUID

from csp.decorators import csp_exempt
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST, require_safe

from handover.acting import CannotBe
from handover.dispute.actions import make_letter, order_bundle, send_again
from handover.dispute.models import Bundle, DisputePhoto, Letter
from handover.dispute.views.case import dispute_of, shown
from handover.keys import act_of
from handover.photo.views import CACHED
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped
from shared.files.store import Altered, read

IN_FULL = ("decision__dispute__rental__branch", "decision__dispute__rental__customer", "decision__dispute__statement",
           "decision__statement", "decision__by")  # fmt: skip


@require_POST
def order(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = dispute_of(request, pk, Right.SETTLE)
    try:
        order_bundle(row, act=act_of(request))
    except CannotBe as problem:
        return shown(request, row, problem, "papers")
    return redirect("dispute", row.pk)


@require_safe
def bundle(request: PersonRequest, pk: UUID) -> HttpResponse:
    rows = Bundle.objects.select_related("dispute__rental__branch")
    row = get_object_or_404(scoped(rows, request.user, "dispute__rental__branch"), pk=pk)
    require(request.user, Right.SETTLE, row.dispute.rental.branch_id)
    name = f"{row.dispute.rental.number}-dispute-{row.dispute.number}.zip"
    return _file(row.file, f'attachment; filename="{name}"', "application/zip")


# Browsers show a PDF with a viewer of their own, which a policy that allows nothing would stop; the file runs nothing.
@csp_exempt()  # type: ignore[arg-type]
@require_safe
def letter(request: PersonRequest, pk: UUID) -> HttpResponse:
    row = _letter(request, pk, Right.SEE)
    dispute = row.decision.dispute
    name = f"{dispute.rental.number}-dispute-{dispute.number}.pdf"
    return _file(row.file, f'inline; filename="{name}"', "application/pdf")


@require_POST
def letter_again(request: PersonRequest, pk: UUID) -> HttpResponse:
    """Made once more where it could not be made, else sent once more."""
    row = _letter(request, pk, Right.SETTLE)
    try:
        act = act_of(request)
        if row.is_ready:
            send_again(row, act=act)
        else:
            make_letter.enqueue(str(row.pk))
    except CannotBe as problem:
        return shown(request, dispute_of(request, row.decision.dispute_id), problem, "papers")
    return redirect("dispute", row.decision.dispute_id)


@require_safe
def photo(request: PersonRequest, pk: UUID) -> HttpResponse:
    rows = DisputePhoto.objects.select_related("dispute__rental")
    row = get_object_or_404(scoped(rows, request.user, "dispute__rental__branch"), pk=pk)
    require(request.user, Right.SEE, row.dispute.rental.branch_id)
    return HttpResponse(read(row.display), content_type="image/jpeg", headers={"Cache-Control": CACHED})


def _letter(request: PersonRequest, pk: UUID, right: Right) -> Letter:
    rows = Letter.objects.select_related(*IN_FULL)
    row = get_object_or_404(scoped(rows, request.user, "decision__dispute__rental__branch"), pk=pk)
    require(request.user, right, row.decision.dispute.rental.branch_id)
    return row


def _file(name: str, disposition: str, kind: str) -> HttpResponse:
    """Raises Http404 for what is not made, and for a file that is gone or altered: neither is ever shown as whole."""
    if not name:
        raise Http404
    try:
        data = read(name)
    except (Altered, FileNotFoundError) as problem:
        raise Http404 from problem
    headers = {"Content-Disposition": disposition, "Cache-Control": "private, no-store"}
    return HttpResponse(data, content_type=kind, headers=headers)
