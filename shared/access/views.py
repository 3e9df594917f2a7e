"""Signing in and the person's own page."""

from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from shared.access.forms import PreferencesForm, SignInForm
from shared.access.requests import PersonRequest


class SignIn(LoginView):
    template_name = "sign_in/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True


class SignOut(LogoutView):
    pass


@require_http_methods(["GET", "HEAD", "POST"])
def me(request: PersonRequest) -> HttpResponse:
    """Light and hand are the person's, not the tablet's."""
    form = PreferencesForm(request.POST or None, instance=request.user)
    if request.method == "POST" and form.is_valid():
        form.save()
        return redirect("me")
    return render(request, "sign_in/me.html", {"form": form})
