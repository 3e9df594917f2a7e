"""Signing in and the person's own page."""

from typing import Any

from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.decorators import method_decorator
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from shared.access.device_cookie import device_in, give_device
from shared.access.forms import NewPasswordForm, PreferencesForm, SignInForm
from shared.access.forms_here import PinForm
from shared.access.here import is_locked, settle
from shared.access.lockout import answer, guard
from shared.access.lockout.guard import is_in
from shared.access.middleware import door_of_second_factor
from shared.access.models import Person
from shared.access.passwords import keep_password
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.second_factor.entering import before_second_factor
from shared.access.second_factor.policy import GIVEN, PROVED, is_asked_of, must_have, note
from shared.access.sessions import end, open_sessions, sessions_of
from shared.access.taking_over import remember
from shared.ids import uuid7


@method_decorator(login_not_required, name="dispatch")
class SignIn(LoginView):
    """The device is known from here on; `?other` lets somebody else in while one is signed in."""

    template_name = "sign_in/sign_in.html"
    authentication_form = SignInForm

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        self.redirect_authenticated_user = "other" not in request.GET and not is_locked(request)
        door = door_of_second_factor(request) if self.redirect_authenticated_user and request.method == "GET" else ""
        if door:
            return redirect(f"{reverse(door)}?{request.GET.urlencode()}")
        return super().dispatch(request, *args, **kwargs)

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        response = super().form_valid(form)
        person = form.get_user()
        assert isinstance(person, Person)  # noqa: S101 - the form signs nobody else in
        now = timezone.now()
        device = remember(device_in(self.request) or uuid7(), person, at=now, by_password=True)
        settle(self.request, device.pk)
        note(self.request.session, PROVED, person, at=now)
        self.request.session.pop(GIVEN, None)
        if not is_asked_of(person):
            is_in(self.request, person.username)
        give_device(response, device.pk)
        return response

    def get_success_url(self) -> str:
        """Whose second factor was reset hears of it first."""
        person, way_on = self.request.user, super().get_success_url()
        if not isinstance(person, Person) or not person.second_factor_resets.filter(told_at=None).exists():
            return way_on
        return reverse("second-factor", query={"next": way_on})


@method_decorator(before_second_factor, name="dispatch")
class SignOut(LogoutView):
    pass


@require_http_methods(["GET", "HEAD", "POST"])
def me(request: PersonRequest) -> HttpResponse:
    """Light and hand are the person's, not the tablet's. Where else they are signed in, and their second factor."""
    form = PreferencesForm(request.POST or None, instance=request.user)
    if request.method == "POST" and form.is_valid():
        form.save()
        return redirect("me")
    elsewhere = sessions_of(request.user, but=request.session.session_key)
    said = {
        "form": form, "pin_form": PinForm(), "elsewhere": elsewhere, "must_have": must_have(request.user),
        "may_tablets": request.user.may(Right.TABLETS),
    }  # fmt: skip
    return render(request, "sign_in/me.html", said)


@sensitive_post_parameters()
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def change_password(request: PersonRequest) -> HttpResponse:
    """The old one and the new; whoever else is signed in under this name is not any more."""
    form = NewPasswordForm(request.user, request.POST or None)
    if until := guard.stopped_until(request, request.user.username):
        return answer.answer(request, until)
    if request.method == "POST" and form.is_valid():
        keep_password(request.user, form, at=timezone.now())
        update_session_auth_hash(request, request.user)
        note(request.session, PROVED, request.user, at=timezone.now())
        end(open_sessions(request.user).exclude(session_key=request.session.session_key or ""))
        return redirect("me")
    if "old_password" in form.errors:
        guard.was_wrong(request, request.user.username)
    return render(request, "sign_in/change_password.html", {"form": form}, status=422 if form.errors else 200)
