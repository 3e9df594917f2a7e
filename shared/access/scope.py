"""Branch scope, enforced here and nowhere else.

What belongs to a branch that a person is not posted to does not exist for them: the page says 404, so that
nobody learns from a 403 that it is there. What exists but may not be done by their role says 403.
"""

from typing import TypeVar
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db.models import Model, QuerySet
from django.http import Http404
from django.utils.translation import gettext as _

from shared.access.models import Person
from shared.access.roles import ROLE_NAMES, Right, Role
from shared.phrasebook import inside

M = TypeVar("M", bound=Model)


class NotAllowed(PermissionDenied):
    """The person's role does not include this right."""


def scoped(rows: QuerySet[M], person: Person, path: str = "branch") -> QuerySet[M]:
    """The rows of the person's own branches; `path` leads from the row to its branch, "" when it is the branch."""
    return rows.filter(**{f"{path}_id__in" if path else "pk__in": person.branch_ids})


def require(person: Person, right: Right, branch_id: UUID) -> None:
    """Raises Http404 for another branch, NotAllowed when the role does not include the right."""
    if branch_id not in person.branch_ids:
        raise Http404
    require_right(person, right)


def require_right(person: Person, right: Right) -> None:
    """For what belongs to no branch, such as a layout. Raises NotAllowed when the role does not include the right."""
    if not person.may(right):
        role = inside(_(ROLE_NAMES[Role(person.role)])) if person.role else _("person without a role")
        raise NotAllowed(_("A %(role)s cannot do this. Ask someone whose role includes it.") % {"role": role})
