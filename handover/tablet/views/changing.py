"""The tablet changes hands without leaving the page: who is known on it, the PIN, and the lock."""

from uuid import UUID

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from handover.acting import CannotBe
from handover.tablet.answering import api, cannot, sent_json
from handover.tablet.devices import device_id_of
from handover.tablet.hello import greet
from handover.tablet.idle import idle_minutes_of
from shared.access.device_cookie import device_in
from shared.access.here import hand_to, is_locked, lock
from shared.access.models import Person
from shared.access.requests import PersonRequest
from shared.access.second_factor.policy import may_take_over
from shared.access.taking_over import Answer, Known, known_on, people_of, take_over_by_pin
from shared.access.views_here import by_password


@login_not_required
@require_GET
@api
def people(request: HttpRequest) -> HttpResponse:
    """Who has signed in on this device; nobody where the browser cannot prove which one it is."""
    known = people_of(device_in(request))
    said = [_said(one) for one in known]
    person = request.user if isinstance(request.user, Person) else None
    return JsonResponse({"people": said, "idle_minutes": idle_minutes_of(person), "locked": is_locked(request)})


def _said(known: Known) -> dict[str, object]:
    person = known.person
    return {"id": str(person.pk), "name": str(person), "short_name": person.short_name, "by_pin": known.by_pin}


@login_not_required
@require_POST
@api
def change(request: PersonRequest) -> HttpResponse:
    """As hello, for the person who has the tablet from now on; 422 with the sentence why nobody new has.

    Who is known is a matter of the browser's own proof; the device that the script names only gets its token.
    """
    sent = sent_json(request)
    named, device_id = device_id_of(sent.get("device")), device_in(request)
    if device_id is None:
        raise CannotBe(_("Nobody is known on this tablet. Sign in with name and password."), "pin")
    field = "password" if sent.get("password") else "pin"
    person_id = _person_of_the_list(sent.get("person"))
    _second_factor_first(device_id, person_id, field)
    answer = _tried(request, device_id, person_id, field, str(sent.get(field, "")))
    if answer.person is None:
        return cannot(answer.sentence, field)
    hand_to(request, answer.person, device_id)
    return greet(request, named)


def _second_factor_first(device_id: UUID, person_id: UUID, field: str) -> None:
    """Raises CannotBe for whoever has not given it on this tablet within the shift: that takes a page of its own."""
    known = known_on(device_id, person_id)
    if known and not may_take_over(device_id, known.person, now=timezone.now()):
        sentence = _("%(name)s has not given a second factor on this tablet today. “Somebody else” asks for it.")
        raise CannotBe(sentence % {"name": known.person}, field)


def _tried(request: PersonRequest, device_id: UUID, person_id: UUID, field: str, secret: str) -> Answer:
    was = request.user if request.user.is_authenticated else None
    if field == "password":
        return by_password(request, device_id, person_id, secret, was=was)
    return take_over_by_pin(device_id, person_id, secret, was=was, at=timezone.now())


def _person_of_the_list(text: object) -> UUID:
    try:
        return UUID(str(text))
    except ValueError as problem:
        raise CannotBe(_("Choose one of the list."), "person") from problem


@require_POST
@api
def lock_here(request: PersonRequest) -> HttpResponse:
    """Nobody is signed out: every page asks first who is there."""
    lock(request)
    return JsonResponse({"locked": True})
