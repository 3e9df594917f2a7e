"""From which address a request comes, as far as our own proxies can tell."""

from ipaddress import IPv6Address, ip_address, ip_network

from django.conf import settings
from django.http import HttpRequest


def address_of(request: HttpRequest) -> str:
    """As the nearest of our own proxies saw it; what stands before that in the header anybody could have written."""
    said = [part.strip() for part in request.headers.get("X-Forwarded-For", "").split(",") if part.strip()]
    if settings.PROXIES and len(said) >= settings.PROXIES:
        return said[-settings.PROXIES]
    return str(request.META.get("REMOTE_ADDR", ""))


def home_of(address: str) -> str:
    """A household has a whole /64 of addresses in IPv6: they count as one."""
    try:
        found = ip_address(address)
    except ValueError:
        return address[:64]
    return str(ip_network(f"{found}/64", strict=False)) if isinstance(found, IPv6Address) else str(found)


def counted_as(request: HttpRequest) -> str | None:
    """The one address that stands for the household; None where the request tells none that is one."""
    found = home_of(address_of(request)).partition("/")[0]
    try:
        return str(ip_address(found))
    except ValueError:
        return None
