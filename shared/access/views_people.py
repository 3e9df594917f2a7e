"""Looking after who is signed in where: one's own sessions, lost tablets, and the second factor of who lost theirs."""

from uuid import UUID

from django.db.models import Prefetch, Q, QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shared.access.models import Device, DevicePerson, Person, SignedIn
from shared.access.pins import Refused
from shared.access.requests import PersonRequest
from shared.access.revoking import revoke
from shared.access.roles import Right
from shared.access.scope import require_right
from shared.access.second_factor.factors import factors_of, reset
from shared.access.second_factor.forms import ResetForm
from shared.access.sessions import end, open_sessions


@require_POST
def end_session(request: PersonRequest, pk: UUID) -> HttpResponse:
    """One of one's own; one that is over already stays so."""
    end(SignedIn.objects.filter(person=request.user, pk=pk))
    return redirect("me")


@require_POST
def end_other_sessions(request: PersonRequest) -> HttpResponse:
    end(open_sessions(request.user).exclude(session_key=request.session.session_key or ""))
    return redirect("me")


def devices_of(person: Person) -> "QuerySet[Device]":
    """Those that people of one's own branches signed in on, the youngest first, with who and when."""
    people = Prefetch("people", DevicePerson.objects.select_related("person"))
    mine = Device.objects.filter(people__person__postings__branch_id__in=person.branch_ids).distinct()
    return mine.select_related("revoked_by").prefetch_related(people).order_by("-made_at")


@require_safe
def tablets(request: PersonRequest) -> HttpResponse:
    require_right(request.user, Right.TABLETS)
    return render(request, "sign_in/tablets.html", {"tablets": devices_of(request.user)})


@require_POST
def tablet_lost(request: PersonRequest, pk: UUID) -> HttpResponse:
    """Its sessions end at once, this one too where it is the tablet itself."""
    device = get_object_or_404(devices_of(request.user), pk=pk)
    require_right(request.user, Right.TABLETS)
    revoke(device, by=request.user, at=timezone.now())
    return redirect("tablets")


@require_http_methods(["GET", "HEAD", "POST"])
def reset_second_factor(request: PersonRequest, pk: UUID) -> HttpResponse:
    """Of somebody of one's own branches, or of no branch yet."""
    mine = Q(postings__branch_id__in=request.user.branch_ids) | Q(postings__isnull=True)
    person = get_object_or_404(Person.objects.filter(mine).distinct(), pk=pk)
    require_right(request.user, Right.PEOPLE)
    form, done = ResetForm(request.POST or None), False
    if request.method == "POST" and form.is_valid():
        try:
            reset(person, reason=form.cleaned_data["reason"], by=request.user, at=timezone.now())
            done = True
        except Refused as problem:
            form.add_error(problem.field, problem.sentence)
    said = {"person": person, "factors": factors_of(person), "form": form, "done": done}
    return render(request, "sign_in/reset_second_factor.html", said, status=422 if form.errors else 200)
