"""The pages of the second factor: asked for after the password, set up and looked after on one's own page."""

from ipaddress import ip_address

import segno
from allauth.mfa.adapter import get_adapter
from allauth.mfa.totp.internal.auth import clear_totp_secret, get_totp_secret
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shared.access.lockout import answer, guard
from shared.access.models import Person
from shared.access.pins import Refused
from shared.access.second_factor import factors
from shared.access.second_factor.checking import (
    counter_of,
    is_code_of,
    is_passkey_of,
    new_passkey,
    new_passkey_options,
    passkey_options,
)
from shared.access.second_factor.entering import before_second_factor, let_in, on_with_it, own_factors, pending_in
from shared.access.second_factor.forms import CodeForm, PasskeyForm, PasswordForm
from shared.access.second_factor.policy import PROVED, must_have, note
from shared.access.views_here import way_back

GET_AND_POST = require_http_methods(["GET", "HEAD", "POST"])


@sensitive_post_parameters("code", "answer")
@never_cache
@GET_AND_POST
@before_second_factor
def ask(request: HttpRequest) -> HttpResponse:
    """After the password: a code of the app, a recovery code or a passkey. Wrong ones are counted."""
    person = pending_in(request)
    if person is None:
        return on_with_it(request, way_back(request))
    if not person.has_second_factor:
        return redirect("second-factor")
    if until := guard.stopped_until(request, person.username, second=True):
        return answer.answer(request, until)
    if request.method != "POST":
        return _asked(request, person, CodeForm())
    if _is_given(request, person):
        let_in(request, person)
        return on_with_it(request, way_back(request))
    guard.was_wrong(request, person.username, second=True)
    form = CodeForm(request.POST)
    form.add_error("code", _why_not(request))
    return _asked(request, person, form, status=422)


def _is_given(request: HttpRequest, person: Person) -> bool:
    if passkey := request.POST.get("answer", ""):
        return is_passkey_of(person, passkey)
    return is_code_of(person, request.POST.get("code", ""))


def _why_not(request: HttpRequest) -> str:
    if request.POST.get("answer"):
        return _("This passkey was not taken. Try it once more, or give a code.")
    return _("Not a code of yours that still counts. Each counts once; the app has a new one every half minute.")


def _asked(request: HttpRequest, person: Person, form: CodeForm, status: int = 200) -> HttpResponse:
    owned = factors.factors_of(person)
    options = passkey_options(person) if owned.passkeys and _has_a_name(request) else ""
    said = {"person": person, "form": form, "factors": owned, "options": options, "next": way_back(request)}
    return render(request, "sign_in/ask_second_factor.html", said, status=status)


@never_cache
@GET_AND_POST
@before_second_factor
def prove_password(request: HttpRequest) -> HttpResponse:
    """Before a factor is added or taken away: whoever finds a tablet open must not give its owner one."""
    person = pending_in(request) or request.user
    assert isinstance(person, Person)  # noqa: S101
    form = PasswordForm(request.POST or None)
    if until := guard.stopped_until(request, person.username):
        return answer.answer(request, until)
    if request.method == "POST" and form.is_valid():
        if person.check_password(form.cleaned_data["password"]):
            note(request.session, PROVED, person, at=timezone.now())
            return on_with_it(request, way_back(request))
        guard.was_wrong(request, person.username)
        form.add_error("password", _("This is not your password. Capital letters count."))
    said = {"form": form, "next": way_back(request), "person": person}
    return render(request, "sign_in/prove_password.html", said, status=422 if form.errors else 200)


@never_cache
@require_safe
@own_factors
def second_factor(request: HttpRequest, person: Person) -> HttpResponse:
    """What the person has, and what else there is; for who must have one and has none the only page there is."""
    return _shown(request, person)


def _shown(request: HttpRequest, person: Person, problem: str = "") -> HttpResponse:
    owned = factors.factors_of(person)
    said = {
        "person": person, "factors": owned, "must_have": must_have(person), "problem": problem,
        "is_pending": pending_in(request) is not None, "next": way_back(request), "has_a_name": _has_a_name(request),
        "reset": factors.tell_of_reset(person, at=timezone.now()),
    }  # fmt: skip
    return render(request, "sign_in/second_factor.html", said, status=422 if problem else 200)


@sensitive_post_parameters("code")
@never_cache
@GET_AND_POST
@own_factors
def add_app(request: HttpRequest, person: Person) -> HttpResponse:
    """A QR code, and a code of the app that shows it was read."""
    secret = get_totp_secret()
    form = CodeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        if counter_of(secret, "".join(form.cleaned_data["code"].split())) is not None:
            factors.add_app(person, secret, at=timezone.now())
            clear_totp_secret(request)
            return _added(request, person)
        form.add_error("code", _("Not the code that the app has now. Wait for the next and type that."))
    address = get_adapter().build_totp_url(person, secret)
    picture = segno.make(address, error="m").svg_data_uri(scale=6, border=3, dark="#000", light="#fff")
    spaced = " ".join(secret[at : at + 4] for at in range(0, len(secret), 4))
    said = {"person": person, "form": form, "picture": picture, "secret": spaced, "address": address}
    return render(request, "sign_in/add_app.html", said, status=422 if form.errors else 200)


@never_cache
@GET_AND_POST
@own_factors
def add_passkey(request: HttpRequest, person: Person) -> HttpResponse:
    """The ceremony is the browser's; its answer is checked against the challenge of this session."""
    if not _has_a_name(request):
        raise Http404
    form = PasskeyForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        credential = new_passkey(request.POST.get("answer", ""))
        if credential is not None:
            factors.add_passkey(person, form.cleaned_data["name"], credential, at=timezone.now())
            return _added(request, person)
        form.add_error("name", _("The passkey was not taken. Try it once more."))
    said = {"person": person, "form": form, "options": new_passkey_options(person)}
    return render(request, "sign_in/add_passkey.html", said, status=422 if form.errors else 200)


def _added(request: HttpRequest, person: Person) -> HttpResponse:
    """It has just been used, so it is given; new recovery codes are shown next."""
    let_in(request, person)
    return redirect("recovery-codes" if factors.factors_of(person).codes_are_new else "second-factor")


@require_POST
@own_factors
def remove_factor(request: HttpRequest, person: Person, pk: int) -> HttpResponse:
    try:
        factors.remove(person, pk, at=timezone.now())
    except Refused as problem:
        return _shown(request, person, problem.sentence)
    return redirect("second-factor")


@never_cache
@GET_AND_POST
@own_factors
def recovery_codes(request: HttpRequest, person: Person) -> HttpResponse:
    """Shown until the person says that they are kept, and never again."""
    owned = factors.factors_of(person)
    if owned.codes is None or not owned.codes_are_new:
        return redirect("second-factor")
    if request.method == "POST":
        owned.codes.wrap().mark_as_viewed()
        return redirect("home")
    said = {"person": person, "codes": _in_halves(owned)}
    return render(request, "sign_in/recovery_codes.html", said)


@never_cache
@require_safe
@own_factors
def recovery_codes_file(request: HttpRequest, person: Person) -> HttpResponse:
    """The same as a text to keep, as long as they are shown."""
    owned = factors.factors_of(person)
    if not owned.codes_are_new:
        raise Http404
    lines = [_("Levelpeg, recovery codes of %(name)s. Each lets in once.") % {"name": person.username}, ""]
    headers = {"Content-Disposition": 'attachment; filename="levelpeg-recovery-codes.txt"'}
    text = "\n".join([*lines, *_in_halves(owned), ""])
    return HttpResponse(text, content_type="text/plain; charset=utf-8", headers=headers)


def _in_halves(owned: factors.Factors) -> list[str]:
    return [f"{code[:4]} {code[4:]}" for code in owned.codes.wrap().get_unused_codes()] if owned.codes else []


@require_POST
@own_factors
def new_recovery_codes(request: HttpRequest, person: Person) -> HttpResponse:
    if not factors.factors_of(person).count:
        return redirect("second-factor")
    factors.new_codes(person, at=timezone.now())
    return redirect("recovery-codes")


def _has_a_name(request: HttpRequest) -> bool:
    """A passkey is bound to the name of a server; one that is reached by a number has none."""
    host = request.get_host().rpartition(":")[0] if ":" in request.get_host() else request.get_host()
    try:
        ip_address(host.strip("[]"))
    except ValueError:
        return True
    return False
