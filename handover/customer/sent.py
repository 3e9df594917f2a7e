"""What a customer's form sends: its key, and photos, which are looked at before anything is written."""

from collections.abc import Mapping

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.acting import AnyonesAct, CannotBe
from handover.customer.opening import Visit
from handover.keys import posted_key
from handover.photo.taking_in import TakenIn, photo_of, taken
from handover.photo.uploading import TOO_LARGE, is_too_long, too_large

FIELD = "photo"
DEVICE = "customer’s phone"


def act_of_customer(request: HttpRequest, visit: Visit, *, photos: int) -> AnyonesAct:
    """By nobody who is signed in: the link stands for them. Raises CannotBe without a key, or for too long a body."""
    if is_too_long(request, files=photos):
        if not photos:
            raise CannotBe(
                _("There is more here than a form can hold; nothing of it was kept. Say it shorter."), "words"
            )
        raise CannotBe(too_large({}).sentence, FIELD)
    return AnyonesAct(by=None, at=visit.at, key=posted_key(request), device=DEVICE)


def posted_photos(request: HttpRequest, visit: Visit, *, most: int) -> list[TakenIn]:
    """Raises CannotBe at `photo` with the sentence why a file is none; the words of the form are kept by the page.

    The files are kept from here on, so what else can be refused is refused before.
    """
    if request.META.get(TOO_LARGE) == FIELD:
        raise CannotBe(too_large({}).sentence, FIELD)
    files = request.FILES.getlist(FIELD)
    if len(files) > most:
        raise CannotBe(_too_many(most), FIELD)
    photos = [photo_of(file.read(), zone=visit.rental.branch.zone) for file in files]
    return [taken(photo) for photo in photos]


def _too_many(most: int) -> str:
    words = ngettext(
        "%(most)s photo can be sent with this. Send the others with another one.",
        "%(most)s photos can be sent with this. Send the others with another one.",
        most,
    )
    return words % {"most": most}


def typed_in(request: HttpRequest, *, photos: int) -> Mapping[str, str]:
    """What stays in the fields; nothing of a body that is too long to be read."""
    return {} if is_too_long(request, files=photos) else request.POST.dict()


def whole_number(request: HttpRequest, field: str, sentence: str) -> int | None:
    """What was picked in a list; None for nothing. Raises CannotBe at the field."""
    typed = str(request.POST.get(field, "")).strip()
    if not typed:
        return None
    if not typed.isascii() or not typed.isdigit() or len(typed) > 4:
        raise CannotBe(sentence, field)
    return int(typed)
