"""What both imports share: the columns are checked, each bad cell is named, and a file goes in whole or not at all."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.utils.translation import gettext as _
from import_export.fields import Field
from import_export.resources import ModelResource
from import_export.results import Result
from tablib import Dataset

from fleet.imports.cells import BadCell
from shared.access.models import Person


@dataclass(frozen=True, slots=True)
class BadPlace:
    """line counts as a text editor does, the header is line 1; 0 is the file as a whole. column may be empty."""

    line: int
    column: str
    sentence: str

    def __str__(self) -> str:
        place = _("Line %(line)s") % {"line": self.line} if self.line else _("The file")
        return f"{place}{f', {self.column}' if self.column else ''}: {self.sentence}"


class WholeFileResult(Result):  # type: ignore[misc]
    @cached_property
    def bad_places(self) -> list[BadPlace]:
        """Everything that stands in the way, in the order of the file."""
        if self.base_errors:
            return [BadPlace(0, "", str(problem.error)) for problem in self.base_errors]
        return sorted([*self._refused_cells(), *self._broken_rows()], key=lambda place: place.line)

    def _refused_cells(self) -> Iterator[BadPlace]:
        for row in self.invalid_rows:
            for column, sentences in row.error_dict.items():
                for sentence in sentences:
                    yield BadPlace(row.number + 1, "" if column == NON_FIELD_ERRORS else column, str(sentence))

    def _broken_rows(self) -> Iterator[BadPlace]:
        for row in self.error_rows:
            for problem in row.errors:
                yield BadPlace(
                    row.number + 1, "", _("This row could not be kept: %(error)s") % {"error": problem.error}
                )


class WholeFileResource(ModelResource):  # type: ignore[misc]
    """Give the import its user as `user`, and rollback_on_validation_errors=True; take_file() does."""

    # The column by which a row is known; it stands once in a file.
    known_by: str

    @classmethod
    def get_result_class(cls) -> type[WholeFileResult]:
        return WholeFileResult

    def take_file(self, dataset: Dataset, *, by: Person, dry_run: bool = False) -> WholeFileResult:
        result: WholeFileResult = self.import_data(
            dataset, dry_run=dry_run, user=by, use_transactions=True, rollback_on_validation_errors=True
        )
        return result

    @property
    def columns(self) -> list[str]:
        return [field.column_name for field in self.get_import_fields()]

    def before_import(self, dataset: Dataset, **kwargs: Any) -> None:
        self.line_of: dict[str, int] = {}
        headers = [str(header).strip() for header in dataset.headers or []]
        if problem := wrong_columns(headers, self.columns):
            raise BadCell(problem)
        dataset.headers = headers

    def before_import_row(self, row: dict[str, str], **kwargs: Any) -> None:
        name = row.get(self.known_by, "").strip()
        line = kwargs["row_number"] + 1
        if name and name in self.line_of:
            raise ValidationError(
                {self.known_by: _("%(name)s is in line %(line)s already.") % {"name": name, "line": self.line_of[name]}}
            )
        self.line_of[name] = line

    def import_instance(self, instance: Any, row: dict[str, str], **kwargs: Any) -> None:
        """Reads every cell, so that all bad ones of a row are told at once."""
        refused: dict[str, ValidationError] = {}
        for field in self.get_import_fields():
            try:
                self.import_field(field, instance, row, **kwargs)
            except BadCell as problem:
                refused[field.column_name] = ValidationError(str(problem))
        if refused:
            raise ValidationError(refused)

    def validate_instance(
        self,
        instance: Any,
        import_validation_errors: dict[str, Any] | None = None,
        validate_unique: bool = True,  # noqa: FBT001, FBT002 (the library's own signature)
    ) -> None:
        refused = dict(import_validation_errors or {})
        unread = {field.attribute for field in self.fields.values() if field.column_name in refused}
        try:
            instance.full_clean(exclude=unread, validate_unique=validate_unique)
        except ValidationError as problem:
            for name, found in problem.error_dict.items():
                refused.setdefault(self._column_of(name), [self.said(one, instance, name) for one in found])
        if refused:
            raise ValidationError(refused)

    def _column_of(self, attribute: str) -> str:
        fields: list[Field] = list(self.fields.values())
        return next((field.column_name for field in fields if field.attribute == attribute), attribute)

    def said(self, problem: ValidationError, instance: Any, name: str) -> ValidationError:
        """The model's own objection, or a better sentence for it."""
        return problem


def wrong_columns(headers: list[str], wanted: list[str]) -> str:
    """A sentence on what is wrong with the first line, empty when nothing is."""
    if len(headers) == 1 and headers[0].count(";") > 1:
        return _("The columns are parted by semicolons. Save the file with commas.")
    missing = [column for column in wanted if column not in headers]
    unknown = [header for header in headers if header not in wanted]
    twice = [header for header in dict.fromkeys(headers) if headers.count(header) > 1]
    told = [
        (_("has no column %(names)s"), missing),
        (_("has a column that is not known, %(names)s"), unknown),
        (_("has two columns %(names)s"), twice),
    ]
    found = [words % {"names": ", ".join(names)} for words, names in told if names]
    return (
        _("The first line %(found)s. It reads: %(wanted)s")
        % {"found": _(" and ").join(found), "wanted": ",".join(wanted)}
        if found
        else ""
    )
