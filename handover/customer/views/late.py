"""Coming back late: what it costs by the agreement, and a word to the branch of when it will be."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from handover.acting import CannotBe
from handover.customer.actions import announce_late
from handover.customer.actions.announcing import check_later
from handover.customer.late.form import BackAtForm
from handover.customer.late.page import late_page
from handover.customer.opening import Visit
from handover.customer.sent import act_of_customer, typed_in
from handover.customer.views.by_link import by_link, shown

# The button that asks for a price and tells nobody.
LOOK = "look"


@require_http_methods(["GET", "HEAD", "POST"])
@by_link
def late(request: HttpRequest, visit: Visit) -> HttpResponse:
    """The form; what cannot be is said at its field and the words stay."""
    if request.method != "POST":
        return _shown(request, visit)
    typed = typed_in(request, photos=0)
    form = BackAtForm(typed)
    try:
        act, back_at = act_of_customer(request, visit, photos=0), form.said()
        if LOOK in typed:
            check_later(visit.rental, back_at, now=visit.at)
            return _shown(request, visit, asked=back_at, form=form, typed=typed)
        announce_late(visit.link, back_at=back_at, words=str(typed.get("words", "")), act=act)
    except CannotBe as problem:
        form.refuse(problem)
        return _shown(request, visit, status=422, problem=problem, form=form, typed=typed)
    return redirect(f"{visit.path('late')}#said")


def _shown(
    request: HttpRequest, visit: Visit, *, status: int = 200, asked: Any = None, form: BackAtForm | None = None,
    **said: Any,
) -> HttpResponse:  # fmt: skip
    page = late_page(visit, asked=asked)
    form = form or BackAtForm(initial={"back_at": page.likely_at})
    return shown(request, "customer/late.html", visit, status=status, page=page, form=form, **said)
