"""The import and export pages of the setting-up desk."""

import base64
from typing import Any, ClassVar

from django.contrib import messages
from django.core import signing
from django.core.exceptions import SuspiciousOperation
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from import_export.admin import ImportExportMixin
from import_export.forms import ExportForm
from import_export.tmp_storages import BaseStorage

from fleet.imports.reading import PlainCsv, unreadable
from fleet.imports.whole_file import WholeFileResult
from shared.access.roles import Right
from shared.admin import person_of
from shared.admin_ledger import tell_done
from shared.canonical import Json

AN_HOUR = 60 * 60


class CarriedByThePage(BaseStorage):  # type: ignore[misc]
    """Between preview and import the file travels in the page, signed: no copy with people's names stays anywhere."""

    salt = "fleet.imports"

    def save(self, data: bytes) -> None:
        self.name = signing.dumps(base64.b64encode(data).decode(), salt=self.salt, compress=True)

    def read(self) -> str:
        try:
            packed = signing.loads(self.name, salt=self.salt, max_age=AN_HOUR)
        except signing.BadSignature as problem:
            raise SuspiciousOperation("The file of this import is not the one that was shown.") from problem
        return base64.b64decode(packed).decode("utf-8-sig")

    def remove(self) -> None:
        """Nothing was kept."""


class CsvAdmin(ImportExportMixin):  # type: ignore[misc]
    """For a RoleAdmin: who may see the rows may take them out, who has import_right may bring them in."""

    import_right: ClassVar[Right] = Right.SET_UP
    formats: ClassVar[list[type[PlainCsv]]] = [PlainCsv]
    tmp_storage_class = CarriedByThePage
    export_form_class = ExportForm

    def has_import_permission(self, request: HttpRequest) -> bool:
        return person_of(request).may(self.import_right)

    def has_export_permission(self, request: HttpRequest) -> bool:
        allowed: bool = self.has_view_permission(request)
        return allowed

    def get_import_data_kwargs(self, **kwargs: Any) -> dict[str, Any]:
        kwargs.pop("form", None)
        return {**kwargs, "use_transactions": True, "rollback_on_validation_errors": True}

    def add_data_read_fail_error_to_form(self, form: Any, e: Exception) -> None:
        form.add_error("import_file", unreadable(e))

    def process_result(self, result: WholeFileResult, request: HttpRequest) -> HttpResponse:
        """What was fine at the preview may clash by now: then nothing went in, and the page says so."""
        if not result.bad_places:
            done: HttpResponse = super().process_result(result, request)
            rows: dict[str, Json] = {kind: count for kind, count in result.totals.items() if count}
            tell_done(person_of(request), self.model._meta.label_lower, "import", {"rows": rows})
            return done
        for place in result.bad_places:
            messages.error(request, str(place))
        messages.error(request, _("Nothing was imported."))
        app, name = self.get_model_info()
        return redirect(reverse(f"admin:{app}_{name}_import"))

    def add_success_message(self, result: WholeFileResult, request: HttpRequest) -> None:
        told = {
            "new": _("%(count)s new"),
            "update": _("%(count)s changed"),
            "skip": _("%(count)s as they were"),
        }
        counts = [words % {"count": result.totals[kind]} for kind, words in told.items() if result.totals[kind]]
        messages.success(request, _("Imported: %(counts)s.") % {"counts": ", ".join(counts)})
