"""Names of tables and fields on the setting-up pages: Django takes them from the code, here they become words to say.

The models themselves are not touched: what is set here stands in no migration.
"""

from collections.abc import Iterator
from typing import Any

from django.contrib import admin
from django.utils.translation import gettext_lazy

from shared.admin import RoleStacked, RoleTabular

# Each name with the table it is of, as they were found; what is sayable already is not found again.
sayable: list[tuple[str, str]] = []


def shown_models() -> list[Any]:
    """Those with pages of their own, and those whose rows stand on another's page."""
    inlines = [inline for kind in (RoleTabular, RoleStacked) for inline in _below(kind)]
    rows = [inline.model for inline in inlines if getattr(inline, "model", None)]
    return list(dict.fromkeys([*admin.site._registry, *rows]))


def _below(kind: Any) -> Iterator[Any]:
    for each in kind.__subclasses__():
        yield each
        yield from _below(each)


def names(model: Any) -> Iterator[tuple[Any, str, str]]:
    """What carries the name, under which attribute, and the name: all but those that are words to say already."""
    meta = model._meta
    owned = [(meta, "verbose_name"), (meta, "verbose_name_plural"), *((field, "verbose_name") for field in meta.fields)]
    for owner, attribute in owned:
        name = getattr(owner, attribute)
        if isinstance(name, str) or (attribute == "verbose_name_plural" and attribute not in meta.original_attrs):
            yield owner, attribute, str(name)


def make_sayable() -> None:
    for model in shown_models():
        for owner, attribute, name in names(model):
            setattr(owner, attribute, gettext_lazy(name))
            sayable.append((model._meta.label, name))
