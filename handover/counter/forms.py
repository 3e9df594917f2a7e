"""From what a form of the counter posts to values of its actions; what cannot be read is said in one sentence."""

from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from uuid import UUID

from django.contrib.auth import authenticate
from django.utils.translation import gettext as _

from handover.acting import CannotBe
from handover.counter.evidence import Evidence
from handover.photo.actions import take_in
from handover.rental.models import Rental
from shared.access.models import Person
from shared.access.requests import PersonRequest
from shared.clock import from_wall, typed_wall
from shared.phrasebook import said

MOST_PHOTOS = 8
MOST_DECIMALS = 6


def text_of(request: PersonRequest, name: str) -> str:
    return request.POST.get(name, "").strip()


def figure_of(request: PersonRequest, name: str, sample: str) -> Decimal | None:
    """None when nothing is typed. Raises CannotBe for what is no figure."""
    typed = text_of(request, name)
    if not typed:
        return None
    try:
        figure = Decimal(typed.replace(",", ".").replace("\u202f", "").replace("−", "-"))
    except InvalidOperation as problem:
        raise CannotBe(
            _("“%(typed)s” is no figure. Write it such as %(sample)s.") % {"typed": typed, "sample": sample}, name
        ) from problem
    if not figure.is_finite() or abs(figure) >= 10**8 or int(figure.as_tuple().exponent) < -MOST_DECIMALS:
        raise CannotBe(
            _("“%(typed)s” is no figure. Write it such as %(sample)s.") % {"typed": typed, "sample": sample}, name
        )
    return figure


def whole_of(request: PersonRequest, name: str) -> int:
    """0 when nothing is typed."""
    figure = figure_of(request, name, "2") or Decimal(0)
    if figure != int(figure):
        raise CannotBe(_("%(figure)s is not whole. Write figures only, such as 2.") % {"figure": figure}, name)
    return int(figure)


def day_of(request: PersonRequest, name: str) -> date | None:
    typed = text_of(request, name)
    try:
        return date.fromisoformat(typed) if typed else None
    except ValueError as problem:
        raise CannotBe(_("“%(typed)s” is no day. Write it as 2026-08-25.") % {"typed": typed}, name) from problem


def moment_of(request: PersonRequest, name: str, zone: str) -> datetime:
    """Date and time as the branch's clock shows them; of an hour that comes twice the first."""
    typed = text_of(request, name)
    if not typed:
        raise CannotBe(_("Give the day and time on the receipt."), name)
    try:
        return from_wall(typed_wall(typed), zone, fold=0)
    except ValueError as problem:
        raise CannotBe(said(str(problem)), name) from problem


def id_of(request: PersonRequest, name: str) -> UUID:
    try:
        return UUID(request.POST.get(name, ""))
    except ValueError as problem:
        raise CannotBe(_("Choose one from the list."), name) from problem


def evidence_of(request: PersonRequest, rental: Rental) -> Evidence:
    """Photos chosen from the list and photos added. Decodes them: call it before the transaction."""
    try:
        chosen = tuple(UUID(photo) for photo in request.POST.getlist("photos"))
    except ValueError as problem:
        raise CannotBe(_("One of these photos is not of this rental. Choose from the list."), "photos") from problem
    sent = request.FILES.getlist("photo")
    if len(sent) > MOST_PHOTOS:
        raise CannotBe(
            _("%(count)s photos at once are too many. Add up to %(most)s.") % {"count": len(sent), "most": MOST_PHOTOS},
            "photo",
        )
    return Evidence(chosen, tuple(take_in(file.read(), zone=rental.branch.zone) for file in sent))


def second_person(request: PersonRequest) -> Person | None:
    """Who confirms with their own name and password, at the same tablet; nobody is signed in by it."""
    name = text_of(request, "second_name")
    if not name:
        return None
    person = authenticate(request, username=name, password=request.POST.get("second_password", ""))
    if not isinstance(person, Person):
        raise CannotBe(
            _("Name and password do not go together. Check both; capital letters count in the password."), "second_name"
        )
    return person
