"""Bookings as CSV. Each row is booked by the same action as on the page; a file never changes a known booking."""

from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils import timezone
from import_export.fields import Field

from fleet.imports.cells import wall_text
from fleet.imports.whole_file import WholeFileResource
from handover.acting import Act, CannotBe
from handover.rental.actions import book
from handover.rental.import_row import read_booking
from handover.rental.models import ExtraOffer, Rental
from shared.access.scope import NotAllowed
from shared.ids import uuid7
from shared.money import exponent, round_half_up
from shared.phrasebook import said

# Where the action names a field otherwise than the file names its column.
COLUMN_OF = {"customer_name": "customer"}


class BookingResource(WholeFileResource):
    """planned_out_at and planned_back_at are local times of the branch; extras are codes parted by semicolons."""

    known_by = "reference"

    reference = Field(column_name="reference", attribute="outside_reference")
    branch = Field(column_name="branch", attribute="branch__code")
    customer = Field(column_name="customer", attribute="customer__name")
    email = Field(column_name="email", attribute="customer__email")
    phone = Field(column_name="phone", attribute="customer__phone")
    language = Field(column_name="language", attribute="customer__language")
    unit = Field(column_name="unit")
    planned_out_at = Field(column_name="planned_out_at")
    planned_back_at = Field(column_name="planned_back_at")
    charged_days = Field(column_name="charged_days", attribute="charged_days")
    liability_option = Field(column_name="liability_option", attribute="liability_option")
    excess = Field(column_name="excess")
    deposit_held = Field(column_name="deposit_held")
    extras = Field(column_name="extras")

    class Meta:
        model = Rental
        import_id_fields = ("reference",)
        fields = (
            "reference", "branch", "customer", "email", "phone", "language", "unit", "planned_out_at",
            "planned_back_at", "charged_days", "liability_option", "excess", "deposit_held", "extras",
        )  # fmt: skip
        force_init_instance = True
        store_row_values = True
        skip_diff = True

    def get_queryset(self) -> QuerySet[Rental]:
        return Rental.objects.all()

    def import_instance(self, instance: Rental, row: dict[str, str], **kwargs: Any) -> None:
        instance.branch, self.details = read_booking(row, kwargs["user"])

    def validate_instance(
        self,
        instance: Rental,
        import_validation_errors: dict[str, Any] | None = None,
        validate_unique: bool = True,  # noqa: FBT001, FBT002 (the library's own signature)
    ) -> None:
        """The rules of a booking are the action's; here only what could not be read stops the row."""
        if import_validation_errors:
            raise ValidationError(import_validation_errors)

    def save_instance(self, instance: Rental, is_create: Any, row: Any, **kwargs: Any) -> None:
        act = Act(by=kwargs["user"], at=timezone.now(), key=uuid7())
        try:
            booked = book(branch=instance.branch, details=self.details, act=act)
        except CannotBe as problem:
            raise ValidationError({COLUMN_OF.get(problem.field, problem.field): problem.sentence}) from problem
        except NotAllowed as problem:
            raise ValidationError(said(str(problem))) from problem
        instance.pk, instance.number = booked.pk, booked.number

    def before_export(self, queryset: QuerySet[Rental], **kwargs: Any) -> None:
        """An Extra is kept as it was sold; its code is that of the offer of that name."""
        offers = ExtraOffer.objects.values_list("branch_id", "name", "code")
        self.codes = {(branch, name): code for branch, name, code in offers}

    def filter_export(self, queryset: QuerySet[Rental], **kwargs: Any) -> QuerySet[Rental]:
        return queryset.select_related("branch", "customer").prefetch_related("legs__unit", "extras")

    def dehydrate_unit(self, rental: Rental) -> str:
        return next((leg.unit.number for leg in rental.legs.all()), "")

    def dehydrate_planned_out_at(self, rental: Rental) -> str:
        return wall_text(rental.planned_out_at, rental.branch.zone)

    def dehydrate_planned_back_at(self, rental: Rental) -> str:
        return wall_text(rental.planned_back_at, rental.branch.zone)

    def dehydrate_excess(self, rental: Rental) -> str:
        return str(round_half_up(rental.excess, exponent(rental.currency)))

    def dehydrate_deposit_held(self, rental: Rental) -> str:
        return str(round_half_up(rental.deposit_held, exponent(rental.currency)))

    def dehydrate_extras(self, rental: Rental) -> str:
        return ";".join(self.codes.get((rental.branch_id, extra.name), extra.name) for extra in rental.extras.all())
