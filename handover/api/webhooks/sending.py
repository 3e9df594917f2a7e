"""One POST to one checked address: no redirect is followed, nothing of the answer but its code is read."""

import ssl
from contextlib import suppress
from dataclasses import dataclass
from http.client import HTTPException
from socket import SHUT_RDWR
from threading import Timer

from django.conf import settings
from django.utils.translation import gettext as _
from urllib3.connection import HTTPConnection, HTTPSConnection
from urllib3.exceptions import HTTPError

from handover.api.webhooks.guard import NotThere, Target, looked_up, parsed

CONNECT_S, ALL_S = 5.0, 15.0


@dataclass(frozen=True, slots=True)
class Answered:
    """`code` None when nothing answered; `problem` empty when it was taken."""

    code: int | None
    problem: str = ""


def post(url: str, body: bytes, headers: dict[str, str]) -> Answered:
    """Raises nothing: what went wrong is a sentence."""
    loopback = settings.WEBHOOKS_TO_LOOPBACK
    try:
        target = parsed(url, loopback=loopback)
        return _judged(_posted(target, looked_up(target, loopback=loopback), body, headers))
    except NotThere as problem:
        return Answered(None, str(problem))
    except (HTTPError, HTTPException, OSError) as fault:
        return Answered(None, _why_not(fault, target.host))


def _judged(code: int) -> Answered:
    if 200 <= code < 300:
        return Answered(code)
    if 300 <= code < 400:
        return Answered(code, _("It answered %(code)s: redirects are not followed.") % {"code": code})
    return Answered(code, _("It answered %(code)s.") % {"code": code})


def _why_not(fault: BaseException, host: str) -> str:
    for cause in (fault, fault.__cause__, fault.__context__):
        if isinstance(cause, ssl.SSLCertVerificationError):
            return _not_proven(cause)
    return _("Nothing answered at %(host)s in time.") % {"host": host}


def _not_proven(fault: ssl.SSLCertVerificationError) -> str:
    return _("Its certificate proves nothing: %(why)s.") % {"why": fault.verify_message}


def _posted(target: Target, address: str, body: bytes, headers: dict[str, str]) -> int:
    """The code of the answer. The whole takes 15 s at most, however slowly the other side speaks."""
    connection = _connection(target, address)
    timer = Timer(ALL_S, _hang_up, [connection])
    try:
        connection.connect()
        timer.start()
        if connection.sock is not None:
            connection.sock.settimeout(ALL_S)
        connection.request("POST", target.path, body=body, headers={"Host": _host(target), **headers})
        return connection.getresponse().status
    finally:
        timer.cancel()
        connection.close()


def _connection(target: Target, address: str) -> HTTPConnection:
    if not target.secure:
        return HTTPConnection(address, target.port, timeout=CONNECT_S)
    context = ssl.create_default_context(cafile=settings.WEBHOOKS_CA_FILE or None)
    return HTTPSConnection(
        address, target.port, timeout=CONNECT_S, ssl_context=context, server_hostname=target.host
    )  # the context checks the certificate against the name


def _hang_up(connection: HTTPConnection) -> None:
    with suppress(OSError, AttributeError):
        connection.sock.shutdown(SHUT_RDWR)


def _host(target: Target) -> str:
    host = f"[{target.host}]" if ":" in target.host else target.host
    return host if target.port == (443 if target.secure else 80) else f"{host}:{target.port}"
