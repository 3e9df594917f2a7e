"""Day seals for who answers for the ledger: the list, one day, its sheet to lodge, its files, a rental's extract."""

from uuid import UUID

import segno
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_safe

from handover.dayseal.checking import Checked, checked
from handover.dayseal.queries import seal_page, seals_page
from handover.rental.models import Rental
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, require_right, scoped
from shared.ledger.days import day_of
from shared.ledger.extract import chain_extract
from shared.ledger.models import DaySeal


def _seal(request: PersonRequest, number: int) -> DaySeal:
    """A day seal is the operator's, not a branch's."""
    require_right(request.user, Right.VERIFY)
    return get_object_or_404(DaySeal, number=number)


@require_safe
def day_seals(request: PersonRequest) -> HttpResponse:
    require_right(request.user, Right.VERIFY)
    below = request.GET.get("below", "")
    page = seals_page(below=int(below) if below.isdecimal() and len(below) < 9 else None)
    return render(request, "ledger/day_seals.html", {"page": page})


@require_safe
def day_seal(request: PersonRequest, number: int) -> HttpResponse:
    return _shown(request, _seal(request, number))


@require_safe
def check(request: PersonRequest, number: int) -> HttpResponse:
    """The same page with what was found: nothing is written, so it may be asked for as often as one likes."""
    seal = _seal(request, number)
    return _shown(request, seal, checked(seal))


def _shown(request: PersonRequest, seal: DaySeal, verdict: Checked | None = None) -> HttpResponse:
    with timezone.override("UTC"):
        return render(request, "ledger/day_seal.html", {"page": seal_page(seal), "verdict": verdict})


@require_safe
def sheet(request: PersonRequest, number: int) -> HttpResponse:
    """One page to print and to lodge with somebody else."""
    page = seal_page(_seal(request, number))
    with timezone.override("UTC"):
        return render(request, "ledger/sheet.html", {"page": page, "qr": _qr(page.code)})


def _qr(text: str) -> SafeString:
    drawn = segno.make_qr(text, error="m").svg_inline(border=2, dark="#1a1724", light="#ffffff", omitsize=True)
    return mark_safe(drawn)  # noqa: S308 - drawn from our own digits


@require_safe
def file(request: PersonRequest, number: int, kind: str) -> HttpResponse:
    """What was signed (json), the signature (p7s), the authority's answer (tsr), the leaves of the tree (txt)."""
    seal = _seal(request, number)
    data, content_type = {
        "json": (seal.document.encode(), "application/json"),
        "p7s": (bytes(seal.signature), "application/pkcs7-signature"),
        "tsr": (bytes(seal.stamp), "application/timestamp-reply"),
        "txt": (_leaves(seal) if kind == "txt" else b"", "text/plain; charset=utf-8"),
    }.get(kind, (b"", ""))
    if not data:
        raise Http404
    name = "leaves.txt" if kind == "txt" else f"day-seal.{kind}"
    return HttpResponse(
        data, content_type=content_type, headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )


def _leaves(seal: DaySeal) -> bytes:
    return b"".join(leaf.data + b"\n" for leaf in day_of(seal.day).leaves)


@require_safe
def extract(request: PersonRequest, pk: UUID) -> HttpResponse:
    """Everything the ledger holds of one rental, with the proof that the day seals vouch for it."""
    rental = get_object_or_404(scoped(Rental.objects.all(), request.user), pk=pk)
    require(request.user, Right.VERIFY, rental.branch_id)
    try:
        told = chain_extract(rental.pk)
    except LookupError as nothing:
        raise Http404 from nothing
    name = f"{rental.number}-ledger.json"
    return JsonResponse(
        told, json_dumps_params={"indent": 1, "ensure_ascii": False},
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )  # fmt: skip
