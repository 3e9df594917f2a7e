"""The tyres of one unit."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from fleet.models import Unit
from handover.tyre.forms import PressureForm
from handover.tyre.page import tyre_page
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped


@require_safe
def tyres(request: PersonRequest, number: str) -> HttpResponse:
    """A pressure in the address is checked against the plate; nothing is kept."""
    own = scoped(Unit.objects.select_related("branch", "layout"), request.user)
    unit = get_object_or_404(own, number=number)
    require(request.user, Right.SEE, unit.branch_id)
    form = PressureForm(request.GET if "read" in request.GET else None)
    page = tyre_page(unit, form)
    return render(request, "tyre/tyres.html", {"page": page, "unit": unit}, status=422 if form.errors else 200)
