"""The customer's page and what is reached from it to read and to keep: Cab card, Topics, Records, photos."""

from uuid import UUID

from csp.decorators import csp_exempt
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_safe

from handover.cabcard.page import card_page
from handover.cabcard.queries import card_facts
from handover.customer.models import NoticedPhoto
from handover.customer.opening import Visit
from handover.customer.page import customer_page
from handover.customer.records import state_of
from handover.customer.topics import topics_of
from handover.customer.views.by_link import by_link, shown
from handover.photo.models import Photo
from handover.record.models import Record
from handover.rental.queries import rentals_in_full
from shared.files.store import Altered, read

# The one page that is kept on the phone, for an hour: where a valve is must be found without a signal too.
KEPT_AN_HOUR = "private, max-age=3600"


@require_safe
@by_link
def page(request: HttpRequest, visit: Visit) -> HttpResponse:
    return shown(request, "customer/page.html", visit, page=customer_page(visit))


@require_safe
@by_link
def cab_card(request: HttpRequest, visit: Visit) -> HttpResponse:
    row = rentals_in_full().get(pk=visit.rental.pk)
    response = shown(request, "customer/cab_card.html", visit, page=card_page(card_facts(row), visit.tongues))
    response.headers["Cache-Control"] = KEPT_AN_HOUR
    return response


@require_safe
@by_link
def topics(request: HttpRequest, visit: Visit) -> HttpResponse:
    """In the language of the briefing, also one that the pages do not speak."""
    return shown(request, "customer/topics.html", visit, topics=topics_of(visit.rental))


# Browsers show a PDF with a viewer of their own, which a policy that allows nothing would stop; the file runs nothing.
@csp_exempt()  # type: ignore[arg-type]
@require_safe
@by_link
def record(request: HttpRequest, visit: Visit, pk: UUID) -> HttpResponse:
    """A Record of this rental. One that is not as it was kept is not handed out: the page says so."""
    row = get_object_or_404(Record, pk=pk, rental=visit.rental)
    if state_of(row) != Record.State.READY:
        return redirect(visit.path("page"))
    data = read(row.file)
    way = "attachment" if "download" in request.GET else "inline"
    name = f"{visit.rental.number}-{row.kind}-{row.version}.pdf"
    headers = {"Content-Disposition": f'{way}; filename="{name}"'}
    return HttpResponse(data, content_type="application/pdf", headers=headers)


@require_safe
@by_link
def photo(request: HttpRequest, visit: Visit, pk: UUID) -> HttpResponse:
    """What a Line rests on: a photo of a walk-round of this rental."""
    return _inline(get_object_or_404(Photo, pk=pk, walk__leg__rental=visit.rental).display)


@require_safe
@by_link
def own_photo(request: HttpRequest, visit: Visit, pk: UUID) -> HttpResponse:
    """One that the customer sent."""
    return _inline(get_object_or_404(NoticedPhoto, pk=pk, noticed__rental=visit.rental).display)


def _inline(name: str) -> HttpResponse:
    try:
        data = read(name)
    except (Altered, FileNotFoundError) as problem:
        raise Http404 from problem
    return HttpResponse(data, content_type="image/jpeg")
