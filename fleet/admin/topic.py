"""One page a Topic: what the yard says in English, and what it says in the other languages."""

from typing import Any

from django.contrib import admin
from django.http import HttpRequest

from fleet.models import Topic, TopicText
from shared.admin import RoleAdmin, RoleStacked


class TextRows(RoleStacked):
    """A draft until it is approved on the pages of the briefing, where both texts stand side by side."""

    model = TopicText
    fields = ("language", "title", "text")


@admin.register(Topic)
class TopicAdmin(RoleAdmin):
    list_display = ("title", "station", "severity", "retired")
    list_filter = ("station__layout", "severity", "retired")
    list_select_related = ("station",)
    search_fields = ("title", "text", "code")
    fields = ("station", ("title", "severity"), "text", ("order", "code", "retired"))
    inlines = (TextRows,)

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> tuple[str, ...]:
        """A topic stays at its station: what was heard there would lose it."""
        return ("station",) if obj else ()
