"""Pages between the password and the second factor: who may be on them, and what makes the sign-in whole."""

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, cast

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone

from shared.access.device_cookie import device_in
from shared.access.lockout.guard import is_in
from shared.access.models import DevicePerson, Person
from shared.access.second_factor.policy import GIVEN, is_proved, note

P = ParamSpec("P")
Page = Callable[Concatenate[HttpRequest, Person, P], HttpResponse]
View = Callable[Concatenate[HttpRequest, P], HttpResponse]


def pending_in(request: HttpRequest) -> Person | None:
    """Whose second factor is outstanding here; SecondFactorMiddleware says so."""
    return cast("Person | None", getattr(request, "pending", None))


def before_second_factor(view: Callable[..., Any]) -> Callable[..., Any]:
    """A view that is also for whoever has given the password alone; for nobody else without signing in."""

    @login_not_required
    @wraps(view)
    def reached(request: HttpRequest, *args: Any, **kwargs: Any) -> Any:
        if pending_in(request) is None and not request.user.is_authenticated:
            return redirect_to_login(request.get_full_path(), reverse(settings.LOGIN_URL))
        return view(request, *args, **kwargs)

    return reached


def own_factors(page: Page[P]) -> View[P]:
    """Gives the view the person whose factors these are: signed in, or about to set up the first.

    Whoever has a factor gives it before they change any; and the password, if that was some time ago.
    """

    @before_second_factor
    @wraps(page)
    def view(request: HttpRequest, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        pending = pending_in(request)
        if pending and pending.has_second_factor:
            return redirect_to_login(request.get_full_path(), reverse("ask-second-factor"))
        person = pending or request.user
        assert isinstance(person, Person)  # noqa: S101 - nobody else gets here
        if not is_proved(request.session, person, now=timezone.now()):
            return redirect_to_login(reverse("second-factor"), reverse("prove-password"))
        return page(request, person, *args, **kwargs)

    return cast("View[P]", view)


def let_in(request: HttpRequest, person: Person) -> None:
    """The second factor is given: for this session under a new key, and for a shift on this device."""
    now = timezone.now()
    request.session.cycle_key()
    note(request.session, GIVEN, person, at=now)
    DevicePerson.objects.filter(device=device_in(request), person=person).update(second_at=now)
    is_in(request, person.username)


def on_with_it(request: HttpRequest, way_on: str) -> HttpResponse:
    return redirect(way_on or settings.LOGIN_REDIRECT_URL)
