"""A token is made, a token is revoked: by an administrator, for branches of their own."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from django.db import transaction
from django.http import Http404
from django.utils.translation import gettext as _

from fleet.models import Branch, Posting
from handover.acting import Act, CannotBe
from handover.api.models import ApiToken, ServicePerson
from handover.api.scopes import Scope
from handover.api.tokens import digest_of, new_secret
from handover.written import check_words
from shared.access.roles import Right
from shared.access.scope import require, require_right, scoped
from shared.ledger.personal import worded

MADE, REVOKED = "api_token.made", "api_token.revoked"
MOST_DAYS = 730


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a token is asked to be: `days` from now until it expires."""

    name: str
    scopes: Sequence[str]
    branches: Sequence[Branch]
    days: int


@transaction.atomic
def make_token(wanted: Wanted, *, act: Act) -> tuple[ApiToken, str]:
    """The token and its text, which is shown this once; empty for a replay. Raises CannotBe, NotAllowed, Http404."""
    require_right(act.by, Right.PEOPLE)
    if earlier := act.replayed(ApiToken, chain=act.key, kind=MADE):
        return earlier, ""
    _check(wanted, act)
    secret = new_secret(act.key)
    token = ApiToken.objects.create(
        id=act.key, service=_service(wanted, act), name=wanted.name.strip(), secret_sha256=digest_of(secret),
        scopes=sorted(wanted.scopes), made_at=act.at, made_by=act.by, expires_at=act.at + timedelta(days=wanted.days),
    )  # fmt: skip
    branches = sorted(branch.code for branch in wanted.branches)
    told = {"name": worded(token.name), "scopes": token.scopes, "branches": branches}
    act.write(chain=token.pk, kind=MADE, subject=token.pk, payload={**told, "expires_at": token.expires_at.isoformat()})
    return token, secret


def _check(wanted: Wanted, act: Act) -> None:
    if not wanted.name.strip():
        raise CannotBe(_("Give the token a name: which program uses it."), "name")
    check_words(wanted.name, "name", most=80)
    if not wanted.scopes or set(wanted.scopes) - set(Scope):
        raise CannotBe(_("Choose at least one thing that the token may do."), "scopes")
    if not wanted.branches:
        raise CannotBe(_("Choose at least one branch."), "branches")
    for branch in wanted.branches:
        require(act.by, Right.PEOPLE, branch.pk)
    if not 1 <= wanted.days <= MOST_DAYS:
        raise CannotBe(_("A token lasts from 1 to %(most)s days.") % {"most": MOST_DAYS}, "days")


def _service(wanted: Wanted, act: Act) -> ServicePerson:
    """Not active, without a password and without a role: it signs in nowhere."""
    person = ServicePerson(username=f"api-{act.key}", first_name=wanted.name.strip(), is_active=False)
    person.set_unusable_password()
    person.save()
    Posting.objects.bulk_create(Posting(person=person, branch=branch) for branch in wanted.branches)
    return person


@transaction.atomic
def revoke_token(token: ApiToken, *, act: Act) -> ApiToken:
    """Once and for good; what it is told by webhooks ends with it. Raises NotAllowed, Http404."""
    check_own(token, act)
    if act.replayed(ApiToken, chain=token.pk, kind=REVOKED):
        return token
    kept = ApiToken.objects.select_for_update().get(pk=token.pk)
    if kept.revoked_at is None:
        kept.revoked_at, kept.revoked_by = act.at, act.by
        kept.save(update_fields=["revoked_at", "revoked_by"])
        act.write(chain=kept.pk, kind=REVOKED, subject=kept.pk, payload={})
    return kept


def check_own(token: ApiToken, act: Act) -> None:
    """One of the administrator's branches is enough: what a token may at theirs, they can end."""
    require_right(act.by, Right.PEOPLE)
    if not scoped(Posting.objects.filter(person=token.service_id), act.by).exists():
        raise Http404
