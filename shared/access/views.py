"""Signing in and the person's own page."""

from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.decorators import method_decorator
from django.views.decorators.http import require_http_methods

from shared.access.device_cookie import device_in, give_device
from shared.access.forms import PreferencesForm, SignInForm
from shared.access.forms_here import PinForm
from shared.access.here import is_locked, settle
from shared.access.models import Person
from shared.access.requests import PersonRequest
from shared.access.taking_over import remember
from shared.ids import uuid7


@method_decorator(login_not_required, name="dispatch")
class SignIn(LoginView):
    """The device is known from here on; `?other` lets somebody else in while one is signed in."""

    template_name = "sign_in/sign_in.html"
    authentication_form = SignInForm

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        self.redirect_authenticated_user = "other" not in request.GET and not is_locked(request)
        return super().dispatch(request, *args, **kwargs)

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        response = super().form_valid(form)
        person = form.get_user()
        assert isinstance(person, Person)  # noqa: S101 - the form signs nobody else in
        device = remember(device_in(self.request) or uuid7(), person, at=timezone.now(), by_password=True)
        settle(self.request, device.pk)
        give_device(response, device.pk)
        return response


class SignOut(LogoutView):
    pass


@require_http_methods(["GET", "HEAD", "POST"])
def me(request: PersonRequest) -> HttpResponse:
    """Light and hand are the person's, not the tablet's."""
    form = PreferencesForm(request.POST or None, instance=request.user)
    if request.method == "POST" and form.is_valid():
        form.save()
        return redirect("me")
    return render(request, "sign_in/me.html", {"form": form, "pin_form": PinForm()})
