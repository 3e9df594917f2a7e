"""Views that people save: a search under a name, their own or shared with a branch. No evidence; nothing is stated."""

from collections.abc import Iterable, Mapping
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from fleet.models import Branch
from handover.acting import CannotBe
from handover.search.asking import NARROWS, Asked
from handover.search.models import SavedView
from handover.written import check_words
from shared.access.models import Person
from shared.access.roles import Right
from shared.access.scope import require, scoped

MOST = 40
SHARES = Right.VERIFY


def views_of(person: Person) -> QuerySet[SavedView]:
    """Their own, and what is shared with their branches."""
    rows = SavedView.objects.select_related("branch")
    shared = scoped(SavedView.objects.filter(branch__isnull=False), person)
    return rows.filter(Q(person=person, branch__isnull=True) | Q(pk__in=shared.values("pk"))).order_by("name", "id")


def query_of(view: SavedView) -> Mapping[str, str]:
    """As the address says it."""
    return {"q": view.phrase} | dict(view.narrowed) if view.phrase else dict(view.narrowed)


def keep_view(asked: Asked, *, key: UUID, name: str, branch: Branch | None, by: Person) -> SavedView:
    """Raises CannotBe without a name, for one that is taken, with nothing asked, for more than 40, and when what is
    shared with one branch looks in another.

    `key` makes a form that is sent twice keep one view.
    """
    if branch:
        require(by, SHARES, branch.pk)
    if kept := SavedView.objects.filter(pk=key, person=by).first():
        return kept
    if asked.is_empty:
        raise CannotBe(
            _("There is nothing to keep yet. Look for something, or narrow the list, then give it a name."), "name"
        )
    if SavedView.objects.filter(person=by).count() >= MOST:
        raise CannotBe(_("%(most)s views are kept already. Remove one first.") % {"most": MOST}, "name")
    if branch and asked.said.get("branch", branch.code) != branch.code:
        raise CannotBe(
            _("This looks in another branch, which not everyone at %(branch)s may see. Look in all of them first.")
            % {"branch": branch},
            "name",
        )
    narrowed = {name: asked.said[name] for name in NARROWS if name in asked.said}
    row = SavedView(
        pk=key, person=by, branch=branch, name=_name(name), phrase=asked.said.get("q", ""), narrowed=narrowed
    )
    return _saved(row, is_new=True)


def rename_view(view: SavedView, *, name: str, by: Person) -> SavedView:
    """Raises CannotBe for a name that cannot be, NotAllowed for a shared one below a manager."""
    check_may_change(view, by)
    view.name = _name(name)
    return _saved(view, is_new=False)


def remove_view(view: SavedView, *, by: Person) -> None:
    """Raises NotAllowed for a shared one below a manager."""
    check_may_change(view, by)
    view.delete()


def check_may_change(view: SavedView, person: Person) -> None:
    if view.branch_id:
        require(person, SHARES, view.branch_id)


def _name(text: str) -> str:
    name = " ".join(text.split())
    if not name:
        raise CannotBe(_("Give it a name, such as: late returns."), "name")
    check_words(name, "name", most=60)
    return name


def _saved(row: SavedView, *, is_new: bool) -> SavedView:
    try:
        with transaction.atomic():
            row.save(force_insert=is_new)
    except IntegrityError as problem:
        raise CannotBe(
            _("A view is called %(name)s already. Choose another name.") % {"name": row.name}, "name"
        ) from problem
    return row


def shared_branch(code: str, own: Iterable[Branch]) -> Branch | None:
    """None when it is one's own view. Raises LookupError for a branch that is not among `own`."""
    if not code:
        return None
    found = next((branch for branch in own if branch.code == code), None)
    if found is None:
        raise LookupError(code)
    return found
