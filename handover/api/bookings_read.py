"""From a booking that was sent to what the booking action needs."""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.translation import gettext as _

from fleet.models import Branch, Unit
from handover.acting import CannotBe
from handover.api.bookings_schema import BookingIn
from handover.rental.booking import BookingDetails, ExtraPurchase
from handover.rental.models import ExtraOffer
from shared.access.models import Person
from shared.access.scope import scoped


def details_of(sent: BookingIn, person: Person, *, now: datetime) -> tuple[Branch, BookingDetails]:
    """The branch and the details. Raises CannotBe for the first thing that names nothing here."""
    branch = scoped(Branch.objects.all(), person, path="").filter(code=sent.branch).first()
    if branch is None:
        raise CannotBe(_("This token is for no branch %(code)s.") % {"code": sent.branch}, "branch")
    _check_email(sent.customer.email)
    return branch, BookingDetails(
        customer_name=sent.customer.name,
        unit=_unit(sent.unit, branch),
        planned_out_at=sent.planned_out_at,
        planned_back_at=sent.planned_back_at,
        charged_days=sent.charged_days,
        email=sent.customer.email,
        phone=sent.customer.phone,
        language=sent.customer.language,
        drivers=tuple(sent.drivers),
        liability_option=sent.liability_option,
        excess=Decimal(sent.excess),
        deposit_held=Decimal(sent.deposit),
        extras=_extras(sent.extras, branch, bought_at=min(now, sent.planned_out_at)),
        reference=sent.reference,
    )


def _check_email(address: str) -> None:
    try:
        if address:
            validate_email(address)
    except ValidationError:
        raise CannotBe(
            _("%(address)s is no e-mail address as name@example.org. It can also be empty.") % {"address": address},
            "email",
        ) from None


def _unit(number: str, branch: Branch) -> Unit:
    unit = Unit.objects.filter(branch=branch, number=number).select_related("branch").first()
    if unit is None:
        raise CannotBe(
            _("%(branch)s has no unit %(number)s.") % {"branch": branch, "number": number}, "unit"
        )  # fmt: skip
    return unit


def _extras(codes: Sequence[str], branch: Branch, *, bought_at: datetime) -> tuple[ExtraPurchase, ...]:
    if not codes:
        return ()
    offers = {offer.code: offer for offer in ExtraOffer.objects.filter(branch=branch, retired=False)}
    for place, code in enumerate(codes):
        if code not in offers:
            raise CannotBe(
                _("%(branch)s sells no Extra %(code)s.") % {"branch": branch, "code": code}, f"extras/{place}"
            )
        if code in codes[:place]:
            raise CannotBe(_("%(code)s is named twice. Each Extra is bought once.") % {"code": code}, f"extras/{place}")
    return tuple(ExtraPurchase(offers[code], bought_at) for code in codes)
