"""Units as CSV: new ones are entered, known ones changed, by their number."""

from collections.abc import Callable
from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from import_export.fields import Field
from import_export.widgets import Widget

from fleet.imports import cells
from fleet.imports.whole_file import WholeFileResource
from fleet.models import Branch, Layout, Unit
from shared.access.models import Person
from shared.access.scope import scoped


class Cell(Widget):  # type: ignore[misc]
    """Reads with one function and writes with another."""

    def __init__(self, read: Callable[[str, Person], Any], write: Callable[[Any], str] = str) -> None:
        super().__init__()
        self.read, self.write = read, write

    def clean(self, value: str, row: Any = None, **kwargs: Any) -> Any:
        return self.read(str(value or ""), kwargs["user"])

    def render(self, value: Any, obj: Any = None, **kwargs: Any) -> str:
        return "" if value is None else self.write(value)


def column(name: str, attribute: str, read: Callable[[str, Person], Any], write: Callable[[Any], str] = str) -> Field:
    return Field(column_name=name, attribute=attribute, widget=Cell(read, write))


def own_branch(cell: str, person: Person) -> Branch:
    branches = {branch.code: branch for branch in scoped(Branch.objects.all(), person, "")}
    return branches[cells.one_of(cell, branches, what=_("branch of yours"))]


def known_layout(cell: str, person: Person) -> Layout:
    layouts = {layout.code: layout for layout in Layout.objects.all()}
    return layouts[cells.one_of(cell, layouts, what="layout")]


class UnitResource(WholeFileResource):
    known_by = "number"

    number = column(
        "number", "number", lambda cell, person: cells.text(cell, what=_("Each unit has a number."), longest=10)
    )
    plate = column(
        "plate", "plate", lambda cell, person: cells.text(cell.upper(), what=_("Each unit has a plate."), longest=16)
    )
    vin = column("vin", "vin", lambda cell, person: cells.optional_text(cell, longest=20))
    vin_has_check_digit = column(
        "vin_has_check_digit", "vin_has_check_digit", lambda cell, person: cells.yes_no(cell),
        lambda held: "yes" if held else "no",
    )  # fmt: skip
    branch = column("branch", "branch", own_branch, lambda branch: branch.code)
    layout = column("layout", "layout", known_layout, lambda layout: layout.code)
    odometer = column("odometer", "odometer_km", lambda cell, person: cells.odometer_km(cell), lambda km: f"{km} km")
    in_service_on = column("in_service_on", "in_service_on", lambda cell, person: cells.iso_date(cell))

    class Meta:
        model = Unit
        import_id_fields = ("number",)
        fields = (
            "number", "plate", "vin", "vin_has_check_digit", "branch", "layout", "odometer", "in_service_on",
        )  # fmt: skip
        store_row_values = True
        skip_html_diff = True

    def get_queryset(self) -> QuerySet[Unit]:
        return Unit.objects.select_related("branch", "layout")

    def get_instance(self, instance_loader: Any, row: dict[str, str]) -> Unit | None:
        return self.get_queryset().filter(number=row.get(self.known_by, "").strip()).first()

    def after_init_instance(self, instance: Unit, new: Any, row: Any, **kwargs: Any) -> None:
        """Remembers what was there, for the rules that compare; another branch's unit cannot be changed."""
        self.was_km = None if new else instance.odometer_km
        if not new and instance.branch_id not in kwargs["user"].branch_ids:
            raise ValidationError(
                {
                    "number": _("%(number)s is a unit of another branch. Choose another number.")
                    % {"number": instance.number}
                }
            )

    def import_instance(self, instance: Unit, row: dict[str, str], **kwargs: Any) -> None:
        super().import_instance(instance, row, **kwargs)
        if self.was_km is not None and instance.odometer_km < self.was_km:
            raise ValidationError({"odometer": went_back(instance.odometer_km, self.was_km)})

    def said(self, problem: ValidationError, instance: Unit, name: str) -> ValidationError:
        if problem.code == "unique":
            return ValidationError(
                _("%(value)s is another unit's %(name)s. Each unit has its own.")
                % {"value": getattr(instance, name), "name": _(name)}
            )
        return problem


def went_back(km: int, was_km: int) -> str:
    return _(
        "%(km)s km is less than the %(was_km)s km of this unit now. An odometer does not run back; miles may be meant."
    ) % {"km": km, "was_km": was_km}
