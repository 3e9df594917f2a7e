"""What staff see of the customer's way in: its links, what was sent, what the customer told."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.conf import settings
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from handover.customer.models import CustomerLink, LinkDelivery, Noticed
from handover.customer.opening import address_of
from handover.customer.qr import qr_of
from handover.customer.token import token_of
from handover.rental.models import Rental
from shared.access.models import Person
from shared.access.roles import Right
from shared.ledger.models import PersonalValue


@dataclass(frozen=True, slots=True)
class DeliveryRow:
    """`address` is empty once it was erased."""

    delivery: LinkDelivery
    address: str


@dataclass(frozen=True, slots=True)
class LinkRow:
    """`stands` is open, withdrawn or over; `address` and `qr` only for who may hand it out, while it is open."""

    link: CustomerLink
    stands: str
    address: str
    qr: SafeString
    deliveries: Sequence[DeliveryRow]


@dataclass(frozen=True, slots=True)
class LinkPage:
    rental: Rental
    links: Sequence[LinkRow]
    noticed: Sequence[Noticed]
    may_hand_out: bool


def link_page(rental: Rental, person: Person, *, now: datetime) -> LinkPage:
    """Five queries, however many links."""
    rows = (
        CustomerLink.objects.filter(rental=rental)
        .select_related("made_by", "revoked_by", "opening")
        .prefetch_related("deliveries__by")
    )
    links, may = list(rows), person.may(Right.SETTLE)
    addresses = _addresses(links)
    return LinkPage(
        rental=rental,
        links=[_row(link, addresses, now=now, may=may) for link in links],
        noticed=noticed_of(rental),
        may_hand_out=may and rental.state != Rental.State.CANCELLED,
    )


def _addresses(links: Iterable[CustomerLink]) -> dict[str, str]:
    digests = [row.address_digest for link in links for row in link.deliveries.all()]
    return dict(PersonalValue.objects.filter(digest__in=digests).values_list("digest", "value"))


def _row(link: CustomerLink, addresses: Mapping[str, str], *, now: datetime, may: bool) -> LinkRow:
    stands = "withdrawn" if link.revoked_at else "over" if link.expires_at <= now else "open"
    address = address_of(link) if may and stands == "open" else ""
    return LinkRow(
        link=link,
        stands=stands,
        address=address,
        qr=qr_of(address) if address else mark_safe(""),
        deliveries=[DeliveryRow(row, addresses.get(row.address_digest, "")) for row in link.deliveries.all()],
    )


def open_link(rental: Rental, *, now: datetime) -> CustomerLink | None:
    """The latest that opens the rental now."""
    return CustomerLink.objects.filter(rental=rental, revoked_at=None, expires_at__gt=now).first()


def card_address_of(rental: Rental, person: Person, *, now: datetime) -> str:
    """The Cab card behind the open link, for who may hand it out; empty where there is none."""
    link = open_link(rental, now=now) if person.may(Right.SETTLE) else None
    return settings.PUBLIC_URL + reverse("customer-cab-card", args=[token_of(link)]) if link else ""


def noticed_of(rental: Rental) -> list[Noticed]:
    """What the customer told, the latest first, in two queries."""
    rows = Noticed.objects.filter(rental=rental).select_related("mark", "leg__unit").prefetch_related("photos")
    return list(rows.order_by("-at", "-id"))


def noticed_at(leg_id: UUID, station: int) -> list[Noticed]:
    """What the customer of a leg told about a station: it stands beside what a return finds there."""
    rows = Noticed.objects.filter(leg=leg_id, station_number=station).select_related("mark")
    return list(rows.prefetch_related("photos"))
