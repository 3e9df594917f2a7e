"""Holds every request to the table of shared/access/matrix.py, before a view runs."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest
from django.urls import URLPattern, URLResolver, get_resolver
from django.utils.translation import gettext as _

from shared.access.matrix import DESK_OF_SETTING_UP, Access, Door, access_to
from shared.access.models import Person
from shared.access.scope import NotAllowed, require_right


@dataclass(frozen=True, slots=True)
class Address:
    """`name` with its namespace, empty for none; `route` from the root, as it stands in the urls."""

    name: str
    route: str
    pattern: URLPattern


def access_for(request: HttpRequest) -> Access:
    """Raises PermissionDenied for an address that stands in no row: nobody has said for whom it is."""
    match = request.resolver_match
    access = access_to(match.view_name, match.route) if match else None
    if access is None:
        raise PermissionDenied(_("Nobody has said yet for whom this page is, so it opens for nobody."))
    return access


def asks_for_a_person(access: Access, request: HttpRequest) -> bool:
    """Whatever the view says of itself; the desk has a door of its own, which leads to the same sign-in."""
    match = request.resolver_match
    return access.door == Door.PERSON and not (match and match.view_name.startswith(DESK_OF_SETTING_UP))


def check_right(access: Access, request: HttpRequest) -> None:
    """Raises NotAllowed where the role of who is signed in has none of the rights. The desk says so by itself."""
    person, match = request.user, request.resolver_match
    if not access.rights or not isinstance(person, Person) or any(person.may(right) for right in access.rights):
        return
    if match and match.view_name.startswith(DESK_OF_SETTING_UP):
        return
    if access.sentence:
        raise NotAllowed(_(access.sentence))
    require_right(person, min(access.rights))


def addresses() -> Iterator[Address]:
    """Every address of the program, the setting-up desk's too."""
    yield from _below(get_resolver().url_patterns, "", "")


def _below(patterns: list[URLPattern | URLResolver], route: str, space: str) -> Iterator[Address]:
    for one in patterns:
        here = route + str(one.pattern)
        if isinstance(one, URLResolver):
            inner = f"{space}{one.namespace}:" if one.namespace else space
            yield from _below(one.url_patterns, here, inner)
        else:
            # As Django names an address that has no name: by its view.
            yield Address(f"{space}{one.name or one.lookup_str}", here, one)


def unlisted() -> list[Address]:
    return [address for address in addresses() if access_to(address.name, address.route) is None]
