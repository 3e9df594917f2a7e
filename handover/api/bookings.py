"""Bookings in: one, or many with an answer for each. The booking action of the page does the work."""

from functools import partial
from time import monotonic
from typing import Any

from django.http import HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from ninja import Router, Status

from handover.acting import Act, CannotBe
from handover.api.bookings_read import details_of
from handover.api.bookings_schema import (
    Booked,
    BookingIn,
    BookingRow,
    BookingsAnswer,
    BookingsIn,
)
from handover.api.keys import KEY_HEADER, once
from handover.api.problems import Refused, part_of
from handover.api.scopes import Scope
from handover.api.tokens import Caller, Scoped, TokenRequest
from handover.rental.actions import book
from shared.access.scope import NotAllowed
from shared.ids import uuid7

LONGEST_S = 20.0  # within what a reverse proxy waits
router = Router(tags=["Bookings"], auth=Scoped(Scope.BOOKINGS_WRITE))


@router.post("/bookings", response={201: Booked}, url_name="api-bookings", operation_id="enter_booking")
def enter_booking(
    request: TokenRequest, response: HttpResponse, booking: BookingIn, idempotency_key: str = KEY_HEADER
) -> Any:
    """Enter a booking. Sent again under the same key, it is answered as before and nothing is booked twice."""
    answer, before = _booked(request.auth, idempotency_key, booking)
    response["Location"] = answer["href"]
    if before:
        response["Idempotent-Replayed"] = "true"
    return Status(201, answer)


def _booked(caller: Caller, key: str, booking: BookingIn) -> tuple[Any, bool]:
    body = booking.model_dump(mode="json", exclude={"key"})
    return once(caller, key=key, body=body, act=partial(_book, caller, booking))


def _book(caller: Caller, booking: BookingIn) -> dict[str, str]:
    now = timezone.now()
    branch, details = details_of(booking, caller.person, now=now)
    rental = book(branch=branch, details=details, act=Act(by=caller.person, at=now, key=uuid7(), device="api"))
    href = reverse("api-rental", args=[rental.pk])
    return {
        "id": str(rental.pk), "number": rental.number, "branch": branch.code, "unit": details.unit.number, "href": href
    }  # fmt: skip


@router.post("/bookings/bulk", response=BookingsAnswer, url_name="api-bookings-bulk", operation_id="enter_bookings")
def enter_bookings(request: TokenRequest, bookings: BookingsIn) -> Any:
    """Enter up to 500 bookings, each under its own key and for itself: what is refused stops none of the others.

    A body that does not fit the schema is refused as a whole, before anything is booked. After 20 seconds the rows that
    are left are answered `later`: send them again.
    """
    end = monotonic() + LONGEST_S
    return {"results": [_row(request.auth, row) if monotonic() < end else _later(row) for row in bookings.bookings]}


def _later(row: BookingRow) -> dict[str, Any]:
    return {"key": row.key, "outcome": "later", "detail": _("There was no time left for it. Send it again.")}


def _row(caller: Caller, row: BookingRow) -> dict[str, Any]:
    try:
        answer, before = _booked(caller, row.key, row)
    except CannotBe as problem:
        return {"key": row.key, "outcome": "refused", **part_of(problem)}
    except (Refused, NotAllowed) as problem:
        return {"key": row.key, "outcome": "refused", "detail": str(problem)}
    return {"key": row.key, "outcome": "already" if before else "booked", "booking": answer}
