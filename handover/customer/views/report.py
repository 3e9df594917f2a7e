"""Something is not right: what the customer saw, where, with photos. Kept with its time beside what was signed."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from handover.acting import CannotBe
from handover.customer.actions import NoticedSaid, note_noticed, was_told
from handover.customer.actions.noticing import MOST_PHOTOS
from handover.customer.opening import Visit
from handover.customer.places import report_page
from handover.customer.sent import act_of_customer, posted_photos, typed_in, whole_number
from handover.customer.views.by_link import by_link, shown


@require_http_methods(["GET", "HEAD", "POST"])
@by_link
def report(request: HttpRequest, visit: Visit) -> HttpResponse:
    """The form; what cannot be is said at its field and the words stay."""
    if request.method != "POST":
        return _form(request, visit)
    try:
        act = act_of_customer(request, visit, photos=MOST_PHOTOS)
        said = _said(request)
        if not was_told(visit.link, said, act=act):
            photos = posted_photos(request, visit, most=MOST_PHOTOS)
            note_noticed(visit.link, said, act=act, photos=photos)
    except CannotBe as problem:
        return _form(request, visit, status=422, problem=problem, typed=typed_in(request, photos=MOST_PHOTOS))
    return redirect(f"{visit.path('page')}#told")


def _form(request: HttpRequest, visit: Visit, *, status: int = 200, **said: Any) -> HttpResponse:
    return shown(request, "customer/report.html", visit, status=status, page=report_page(visit), **said)


def _said(request: HttpRequest) -> NoticedSaid:
    return NoticedSaid(
        words=str(request.POST.get("words", "")),
        place=str(request.POST.get("place", "")),
        station=whole_number(request, "station", _("Choose a place of the list.")),
        mark=_mark(str(request.POST.get("mark", ""))),
    )


def _mark(typed: str) -> UUID | None:
    try:
        return UUID(typed) if typed else None
    except ValueError as problem:
        raise CannotBe(_("Choose a mark of the list."), "mark") from problem
