"""Hello, and signing in without leaving the page: what waits on the tablet is sent by whoever signs in."""

from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from handover.tablet.answering import api, cannot, sent_json
from handover.tablet.devices import device_id_of
from handover.tablet.hello import greet
from shared.access.forms import SignInForm
from shared.access.models import Person
from shared.access.requests import PersonRequest
from shared.access.second_factor.policy import is_asked_of


@login_not_required
@require_GET
@api
def hello(request: PersonRequest) -> HttpResponse:
    """Without `device` it tells the time and who is signed in, and proves nothing."""
    named = request.GET.get("device")
    return greet(request, device_id_of(named) if named else None)


@login_not_required
@require_POST
@api
def sign_in(request: PersonRequest) -> HttpResponse:
    sent = sent_json(request)
    device_id = device_id_of(sent.get("device"))
    form = SignInForm(request, data={name: str(sent.get(name, "")) for name in ("username", "password")})
    if not form.is_valid():
        return cannot(" ".join(str(text) for texts in form.errors.values() for text in texts), "password")
    person = form.get_user()
    if isinstance(person, Person) and is_asked_of(person):
        return cannot(_("%(name)s signs in with a second factor: on the sign-in page.") % {"name": person}, "password")
    login(request, person)
    return greet(request, device_id, by_password=True)
