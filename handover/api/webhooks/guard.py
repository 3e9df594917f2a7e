"""Where a webhook may lead: to the public internet by https, and nowhere inside.

A name is looked up once, every address it has must be public, and the connection goes to the very address that was
looked at: a name that points elsewhere a moment later leads nowhere else.
"""

import socket
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network
from urllib.parse import urlsplit

from django.utils.translation import gettext as _

Address = IPv4Address | IPv6Address
TRANSLATED = [
    ip_network("64:ff9b::/96"),
    ip_network("64:ff9b:1::/48"),
    ip_network("2002::/16"),
    ip_network("2001::/32"),
]
"""IPv6 addresses that carry an IPv4 address to somewhere else: NAT64, 6to4, Teredo."""


class NotThere(ValueError):
    """A sentence: why nothing is sent to this address."""


@dataclass(frozen=True, slots=True)
class Target:
    """`path` with its query; `secure` is https."""

    host: str
    port: int
    path: str
    secure: bool


def parsed(url: str, *, loopback: bool) -> Target:
    """What an address says, without looking anything up. Raises NotThere."""
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError:
        raise NotThere(_("This is no address. It looks like https://hooks.example.org/levelpeg.")) from None
    host = (parts.hostname or "").rstrip(".")
    if not host or not url.isascii() or any(letter <= " " for letter in url):
        raise NotThere(_("This is no address. It looks like https://hooks.example.org/levelpeg."))
    if parts.username is not None or parts.password is not None:
        raise NotThere(_("No name or password belongs into the address: the signature says who sends."))
    if parts.scheme != "https" and not (parts.scheme == "http" and loopback):
        raise NotThere(_("Only https is sent to."))
    if port == 0:
        raise NotThere(_("Port 0 takes nothing."))
    if literal := _literal(host):
        _check(literal, loopback=loopback)
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    secure = parts.scheme == "https"
    return Target(host, port or (443 if secure else 80), path, secure)


def looked_up(target: Target, *, loopback: bool) -> str:
    """The address to connect to. Raises NotThere when the name has none, or one that is not public."""
    try:
        found = socket.getaddrinfo(target.host, target.port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError):
        raise NotThere(_("The name %(host)s is not known.") % {"host": target.host}) from None
    addresses = [str(row[4][0]).partition("%")[0] for row in found]
    if not addresses:
        raise NotThere(_("The name %(host)s is not known.") % {"host": target.host})
    for address in addresses:
        _check(ip_address(address), loopback=loopback)
        if not target.secure and not ip_address(address).is_loopback:
            raise NotThere(_("Only https is sent to."))
    return addresses[0]


def _literal(host: str) -> Address | None:
    try:
        return ip_address(host)
    except ValueError:
        return None


def _check(address: Address, *, loopback: bool) -> None:
    """Raises NotThere."""
    if loopback and address.is_loopback:
        return
    if not is_public(address):
        raise NotThere(_("%(address)s is no public address; nothing is sent there.") % {"address": address})


def is_public(address: Address) -> bool:
    """Neither private, this machine, link-local, shared, documentation, reserved nor a group; nor one in disguise."""
    if isinstance(address, IPv6Address):
        if address.ipv4_mapped is not None:
            return is_public(address.ipv4_mapped)
        if address.is_site_local or any(address in network for network in TRANSLATED):
            return False
    return address.is_global and not (address.is_multicast or address.is_reserved or address.is_unspecified)
