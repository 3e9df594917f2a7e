"""The Statement on the customer's phone, and an objection to one of its Lines."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods, require_safe

from handover.acting import CannotBe
from handover.customer.opening import Visit
from handover.customer.sent import act_of_customer, posted_photos, typed_in
from handover.customer.statement import CustomerStatement, statement_of
from handover.customer.views.by_link import by_link, shown
from handover.dispute.actions import open_dispute, was_opened
from handover.dispute.line import numbered_line


@require_safe
@by_link
def statement(request: HttpRequest, visit: Visit) -> HttpResponse:
    return shown(request, "customer/statement.html", visit, said=_statement(visit))


def _statement(visit: Visit) -> CustomerStatement:
    found = statement_of(visit)
    if found is None:
        raise Http404
    return found


@require_http_methods(["GET", "HEAD", "POST"])
@by_link
def object_to(request: HttpRequest, visit: Visit, number: int) -> HttpResponse:
    """In their own words, with a photo if there is one; it opens a Dispute and says by when it is answered."""
    found = _statement(visit)
    if not 1 <= number <= len(found.lines):
        raise Http404
    line, dispute = found.lines[number - 1]
    if request.method != "POST":
        return shown(request, "customer/object.html", visit, line=line, dispute=dispute)
    try:
        _open(request, visit, found, number)
    except CannotBe as problem:
        said = {"line": line, "dispute": dispute, "problem": problem, "typed": typed_in(request, photos=1)}
        return shown(request, "customer/object.html", visit, status=422, **said)
    return redirect(f"{visit.path('statement')}#line-{number}")


def _open(request: HttpRequest, visit: Visit, found: CustomerStatement, number: int) -> None:
    assert found.page.statement is not None  # noqa: S101 - a page without one has no lines
    act = act_of_customer(request, visit, photos=1)
    line, words = numbered_line(found.page.statement, number), str(request.POST.get("words", ""))
    if not was_opened(line, words=words, by_customer=True, act=act):
        photos = posted_photos(request, visit, most=1)
        open_dispute(line, words=words, by_customer=True, act=act, photo=photos[0] if photos else None)
