"""Which device a request comes from: a signed cookie that outlives the session, so that a page knows who was here.

It is given only where somebody is signed in. A PIN is taken only together with it: the id of a device alone, copied
from somewhere, opens nothing.
"""

from uuid import UUID

from django.conf import settings
from django.core import signing
from django.http import HttpRequest, HttpResponse

NAME = f"{settings.COOKIE_PREFIX}device"
SALT = "device.cookie"
A_YEAR_AND_A_MONTH = 400 * 24 * 3600  # as long as browsers keep any cookie


def device_in(request: HttpRequest) -> UUID | None:
    """None for a browser that nobody signed in on, and for a cookie that we did not sign."""
    try:
        return UUID(signing.loads(request.COOKIES.get(NAME, ""), salt=SALT))
    except (signing.BadSignature, ValueError, TypeError):
        return None


def give_device(response: HttpResponse, device_id: UUID) -> None:
    response.set_cookie(
        NAME,
        signing.dumps(str(device_id), salt=SALT),
        max_age=A_YEAR_AND_A_MONTH,
        httponly=True,
        secure=settings.SESSION_COOKIE_SECURE,
        samesite="Lax",
    )
