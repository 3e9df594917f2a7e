"""Desk, API access: tokens are made and revoked, deliveries of webhooks are looked at and sent again."""

from dataclasses import replace
from itertools import groupby
from uuid import UUID, uuid5

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from fleet.models import Branch
from handover.acting import CannotBe
from handover.api.actions import make_token, revoke_token
from handover.api.pages.forms import TokenForm
from handover.api.pages.queries import SHOWN, deliveries_of, token_rows, tokens_of, webhooks_of
from handover.api.pages.reference import described
from handover.api.schema import openapi
from handover.api.webhooks.actions import send_again as send
from handover.api.webhooks.actions import stop_webhook
from handover.api.webhooks.models import WebhookDelivery
from handover.keys import act_of
from handover.zone import in_zone_of
from shared.access.requests import PersonRequest
from shared.access.roles import Right
from shared.access.scope import require, scoped

State = WebhookDelivery.State


@login_not_required
@require_safe
def openapi_json(request: HttpRequest) -> HttpResponse:
    """The description for programs. It holds nothing that is not in the source."""
    return JsonResponse(openapi())


@login_not_required
@require_safe
def reference(request: HttpRequest) -> HttpResponse:
    """The same for people."""
    return render(request, "api/reference.html", {"page": described(openapi())})


@never_cache
@require_safe
def access(request: PersonRequest, code: str) -> HttpResponse:
    return _shown(request, _branch(request, code))


def _branch(request: PersonRequest, code: str) -> Branch:
    branch = get_object_or_404(scoped(Branch.objects.all(), request.user, path=""), code=code)
    require(request.user, Right.PEOPLE, branch.pk)
    return branch


def _shown(
    request: PersonRequest, branch: Branch, form: TokenForm | None = None, secret: str = ""
) -> HttpResponse:  # fmt: skip
    initial = {"branches": [branch.pk]}
    with in_zone_of(branch):
        context = {
            "branch": branch,
            "rows": token_rows(branch, now=timezone.now()),
            "webhooks": webhooks_of(branch).filter(stopped_at=None),
            "form": form or TokenForm(person=request.user, initial=initial),
            "secret": secret,
        }
        return render(request, "api/access.html", context, status=422 if form and form.errors else 200)


@never_cache
@require_POST
def make(request: PersonRequest, code: str) -> HttpResponse:
    """The answer is the one page on which the token is ever shown."""
    branch = _branch(request, code)
    form = TokenForm(request.POST, person=request.user)
    if not form.is_valid():
        return _shown(request, branch, form)
    try:
        _token, secret = make_token(form.wanted(), act=act_of(request))
    except CannotBe as problem:
        form.add_error(problem.field if problem.field in form.fields else None, problem.sentence)
        return _shown(request, branch, form)
    return _shown(request, branch, secret=secret) if secret else redirect("api-access", branch.code)


@require_POST
def revoke(request: PersonRequest, code: str, pk: UUID) -> HttpResponse:
    branch = _branch(request, code)
    revoke_token(get_object_or_404(tokens_of(branch), pk=pk), act=act_of(request))
    return redirect("api-access", branch.code)


@require_POST
def stop(request: PersonRequest, code: str, pk: UUID) -> HttpResponse:
    branch = _branch(request, code)
    stop_webhook(get_object_or_404(webhooks_of(branch), pk=pk), act=act_of(request))
    return redirect("api-access", branch.code)


@require_safe
def deliveries(request: PersonRequest, code: str) -> HttpResponse:
    """The latest hundred, and how many there are of each state."""
    branch = _branch(request, code)
    rows = deliveries_of(branch)
    with in_zone_of(branch):
        context = {
            "branch": branch,
            "rows": rows[:SHOWN],
            "waiting": rows.filter(state=State.WAITING).count(),
            "dead": rows.filter(state=State.DEAD).count(),
        }
        return render(request, "api/deliveries.html", context)


@require_POST
def send_again(request: PersonRequest, code: str, pk: UUID) -> HttpResponse:
    branch = _branch(request, code)
    send([get_object_or_404(deliveries_of(branch), pk=pk)], act=act_of(request))
    return redirect("api-deliveries", branch.code)


@require_POST
def send_all_again(request: PersonRequest, code: str) -> HttpResponse:
    """What was given up at this branch, a hundred at a time; the ledger has an entry for each token."""
    branch, act = _branch(request, code), act_of(request)
    dead = deliveries_of(branch).filter(state=State.DEAD, webhook__stopped_at=None)
    rows = sorted(dead[:SHOWN], key=lambda row: row.webhook.token_id)
    for token_id, of_token in groupby(rows, key=lambda row: row.webhook.token_id):
        send(list(of_token), act=replace(act, key=uuid5(act.key, str(token_id))))
    return redirect("api-deliveries", branch.code)
