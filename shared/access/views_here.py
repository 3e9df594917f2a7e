"""Change of person on a shared tablet, as plain pages: who has signed in here before, then the PIN."""

from uuid import UUID

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shared.access.device_cookie import device_in
from shared.access.forms_here import PinForm, TakeOverForm
from shared.access.here import hand_to, is_locked, lock
from shared.access.lockout import guard
from shared.access.lockout.answer import sentence
from shared.access.models import Person
from shared.access.pins import Refused, set_pin
from shared.access.requests import PersonRequest
from shared.access.taking_over import (
    Answer,
    Known,
    known_on,
    people_of,
    stopped_sentence,
    take_over_by_password,
    take_over_by_pin,
)


@login_not_required
@never_cache
@require_safe
def people_here(request: HttpRequest) -> HttpResponse:
    """Also for a tablet that is locked, or on which nobody is signed in any more."""
    said = {"people": people_of(device_in(request)), "next": way_back(request), "is_locked": is_locked(request)}
    return render(request, "sign_in/people_here.html", said)


@login_not_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def take_over(request: HttpRequest, person_id: UUID) -> HttpResponse:
    """A person whom this device does not know is none: not even whether they exist is said."""
    device_id = device_in(request)
    known = known_on(device_id, person_id)
    if known is None or device_id is None:
        return redirect("people-here")
    if request.method != "POST":
        return _asked(request, known, TakeOverForm(by_pin=known.by_pin))
    answer = tried(request, device_id, person_id)
    if answer.person:
        hand_to(request, answer.person, device_id)
        return redirect(way_back(request) or resolve_url("home"))
    known = known_on(device_id, person_id) or known
    form = TakeOverForm(request.POST, by_pin=known.by_pin)
    form.add_error(None, answer.sentence)
    return _asked(request, known, form, status=422)


def tried(request: HttpRequest, device_id: UUID, person_id: UUID) -> Answer:
    """By whichever of the two was sent."""
    was = request.user if isinstance(request.user, Person) else None
    if password := request.POST.get("password", ""):
        return by_password(request, device_id, person_id, password, was=was)
    return take_over_by_pin(device_id, person_id, request.POST.get("pin", ""), was=was, at=timezone.now())


def by_password(
    request: HttpRequest, device_id: UUID, person_id: UUID, password: str, *, was: Person | None
) -> Answer:  # fmt: skip
    """Wrong ones count as those of the sign-in page do."""
    known = known_on(device_id, person_id)
    name = known.person.username if known else ""
    if until := guard.stopped_until(request, name):
        return Answer(None, sentence(until))
    answer = take_over_by_password(device_id, person_id, password, was=was, at=timezone.now())
    if answer.person is None:
        guard.was_wrong(request, name)
    return answer


def _asked(request: HttpRequest, known: Known, form: TakeOverForm, status: int = 200) -> HttpResponse:
    why = stopped_sentence(known.person) if known.is_stopped and not form.is_bound else ""
    said = {"known": known, "form": form, "why": why, "next": way_back(request)}
    return render(request, "sign_in/take_over.html", said, status=status)


def way_back(request: HttpRequest) -> str:
    """The page on which the person was changed; empty for none, and for any other place than ours."""
    wanted = str(request.POST.get("next", "") or request.GET.get("next", ""))
    is_ours = url_has_allowed_host_and_scheme(wanted, allowed_hosts={request.get_host()}, require_https=False)
    return wanted if is_ours else ""


@require_POST
def lock_tablet(request: PersonRequest) -> HttpResponse:
    lock(request)
    if request.headers.get("X-Requested-With") == "fetch":
        return HttpResponse(status=204)
    return redirect("people-here")


@require_POST
def keep_pin(request: PersonRequest) -> HttpResponse:
    form = PinForm(request.POST)
    if form.is_valid():
        _keep_pin(request, form)
    if form.errors:
        return render(request, "sign_in/pin.html", {"form": form}, status=422)
    return redirect("me")


def _keep_pin(request: PersonRequest, form: PinForm) -> None:
    said, name = form.cleaned_data, request.user.username
    if until := guard.stopped_until(request, name):
        return form.add_error("password", sentence(until))
    try:
        set_pin(request.user, password=said["password"], pin=said["pin"], at=timezone.now())
    except Refused as problem:
        form.add_error(problem.field, problem.sentence)
        if problem.field == "password":
            guard.was_wrong(request, name)
    return None
