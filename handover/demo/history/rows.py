"""Which rows belong to a rental, to its unit and to its branch: found by following what points at them."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from django.apps import apps
from django.db import models

from fleet.models import Branch, OpeningHours, Unit
from handover.rental.models import Rental

Rows = Mapping[type[models.Model], Mapping[object, models.Model]]
"""By model and primary key."""

# The search is made anew; links hold a secret of their own; a day of the branch is not the rental's.
LEFT_OUT = {"SearchRow", "SearchWord", "CustomerLink", "LinkDelivery", "PaperSheet", "Receipt"}


def rows_of_rental(rental: Rental) -> Rows:
    """The rental, its customer, and every row that points at one of them, directly or by another such row."""
    found: dict[type[models.Model], dict[object, models.Model]] = defaultdict(dict)
    found[Rental][rental.pk] = rental
    found[type(rental.customer)][rental.customer_id] = rental.customer
    grown = True
    while grown:
        grown = False
        for model in _models():
            fresh = {row.pk: row for row in _pointing(model, found) if row.pk not in found[model]}
            found[model].update(fresh)
            grown = grown or bool(fresh)
    return {model: rows for model, rows in found.items() if rows}


def rows_of_unit(unit: Unit) -> Rows:
    """The unit with what is always asked of one; its marks and jobs come with the rentals."""
    found: dict[type[models.Model], dict[object, models.Model]] = {Unit: {unit.pk: unit}}
    for part in unit._meta.related_objects:
        if part.related_model._meta.app_label == "fleet":
            rows = part.related_model._base_manager.filter(**{part.field.name: unit})
            found[part.related_model] = {row.pk: row for row in rows}
    return found


def rows_of_branch(branch: Branch) -> Rows:
    hours = OpeningHours.objects.filter(branch=branch)
    return {Branch: {branch.pk: branch}, OpeningHours: {row.pk: row for row in hours}}


def _models() -> Iterable[type[models.Model]]:
    return (model for model in apps.get_app_config("handover").get_models() if model.__name__ not in LEFT_OUT)


def _pointing(model: type[models.Model], found: Rows) -> Iterable[models.Model]:
    """Rows of the model that point at what was found; a row of the unit alone does not."""
    asked = models.Q()
    for field in model._meta.fields:
        if isinstance(field, models.ForeignKey) and found.get(field.related_model):
            asked |= models.Q(**{f"{field.attname}__in": list(found[field.related_model])})
    return model._base_manager.filter(asked) if asked else ()
