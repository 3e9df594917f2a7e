"""Keys of a form: made when it is shown, so that pressing twice or sending again acts once."""

from uuid import UUID

from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from shared.access.requests import PersonRequest

KEY_FIELD = "key"


def act_of(request: PersonRequest, field: str = KEY_FIELD) -> Act:
    """The act of a posted form: its key came with the page, the time is now. Raises CannotBe without a key."""
    return Act(by=request.user, at=timezone.now(), key=posted_key(request, field), device=device_of(request))


def posted_key(request: HttpRequest, field: str = KEY_FIELD) -> UUID:
    try:
        return UUID(request.POST.get(field, ""))
    except ValueError as problem:
        raise CannotBe(_("This form has no key. Open the page again; what was kept is still there.")) from problem


def chosen(request: HttpRequest, field: str) -> UUID:
    """The id picked in a list. Raises CannotBe at the field when nothing of the list was."""
    try:
        return UUID(request.POST.get(field, ""))
    except ValueError as problem:
        raise CannotBe(_("Choose one of the list."), field) from problem


def device_of(request: HttpRequest) -> str:
    """Which tablet: a random name it keeps in its session; nothing of the person."""
    return str(request.session.get("device", ""))[:64]
