"""What is done to a rental as a whole: booked, its promise frozen, its state moved on."""

from django.db import transaction
from django.utils.translation import gettext as _

from fleet.models import Branch, Unit
from handover.acting import Act, CannotBe
from handover.rental.booking import BookingDetails, check_booking
from handover.rental.models import Customer, Driver, Leg, NumberSeries, Rental, RentalExtra
from handover.rental.taken import legs_taking
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.ledger.personal import personal
from shared.ledger.rows import written


@transaction.atomic
def book(*, branch: Branch, details: BookingDetails, act: Act) -> Rental:
    """Enter a booking. Raises CannotBe, NotAllowed, Http404."""
    require(act.by, Right.BOOK, branch.pk)
    if earlier := act.replayed(Rental, chain=act.key, kind="rental.booked"):
        return earlier
    check_booking(details)
    _check_unit(branch, details)
    rental = _keep(branch, details, act)
    act.write(chain=rental.pk, kind="rental.booked", subject=rental.pk, payload=_told(rental, details))
    return rental


def _check_unit(branch: Branch, details: BookingDetails) -> None:
    if details.unit.branch_id != branch.pk:
        raise CannotBe(
            _("Unit %(unit)s belongs to another branch. Choose a unit of %(branch)s.")
            % {"unit": details.unit.number, "branch": branch},
            "unit",
        )
    Unit.objects.select_for_update().get(pk=details.unit.pk)  # two bookings of a unit have no chain in common
    if clash := legs_taking(details.unit, details.planned_out_at, details.planned_back_at).first():
        raise CannotBe(
            _("Unit %(unit)s is out for %(rental)s in that time. Choose another unit or time.")
            % {"unit": details.unit.number, "rental": clash.rental.number},
            "unit",
        )
    if details.reference and Rental.objects.filter(branch=branch, outside_reference=details.reference).exists():
        raise CannotBe(_("Booking %(reference)s is already here.") % {"reference": details.reference}, "reference")


def _keep(branch: Branch, details: BookingDetails, act: Act) -> Rental:
    customer = Customer.objects.create(
        name=details.customer_name.strip(), email=details.email, phone=details.phone, language=details.language
    )
    rental = Rental.objects.create(
        id=act.key,
        number=next_number(branch, "rental"),
        branch=branch,
        customer=customer,
        planned_out_at=details.planned_out_at,
        planned_back_at=details.planned_back_at,
        charged_days=details.charged_days,
        liability_option=details.liability_option,
        excess=details.excess,
        deposit_held=details.deposit_held,
        outside_reference=details.reference,
    )
    Leg.objects.create(rental=rental, unit=details.unit)
    written(Driver.objects.bulk_create(Driver(rental=rental, name=name) for name in details.drivers))
    extras = RentalExtra.objects.bulk_create(
        RentalExtra(
            rental=rental,
            name=bought.offer.name,
            covers=bought.offer.covers,
            price=bought.offer.price,
            purchased_at=bought.purchased_at,
        )
        for bought in details.extras
    )
    written(extras)
    return rental


def next_number(branch: Branch, kind: str) -> str:
    """The next number of the branch's series, such as LK-20418. Gapless: it belongs to the transaction."""
    return f"{branch.prefix}-{NumberSeries.take(branch, kind, after=20_000)}"


def _told(rental: Rental, details: BookingDetails) -> dict[str, Json]:
    return {
        "number": rental.number,
        "branch": rental.branch.code,
        "unit": details.unit.number,
        "planned_out_at": details.planned_out_at.isoformat(),
        "planned_back_at": details.planned_back_at.isoformat(),
        "charged_days": details.charged_days,
        "liability_option": details.liability_option,
        "excess": str(details.excess),
        "deposit_held": str(details.deposit_held),
        "extras": [bought.offer.code for bought in details.extras],
        "customer": personal(rental.customer.name, kind="customer.name"),
    }
