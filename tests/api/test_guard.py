"""Webhooks lead to the public internet and nowhere inside, whatever a name or a number says."""

import socket
from ipaddress import ip_address
from pathlib import Path
from typing import Any

import pytest
from django.test import override_settings

from handover.api.webhooks.guard import NotThere, is_public, looked_up, parsed
from handover.api.webhooks.sending import post
from tests.api.listening import certificate_for, listening

INSIDE = [
    "127.0.0.1", "127.8.8.8", "10.0.0.7", "172.16.0.1", "172.31.255.255", "192.168.1.1",
    "169.254.169.254", "169.254.1.1", "100.64.0.1", "100.100.100.200", "192.0.2.1", "198.51.100.7", "203.0.113.9",
    "198.18.0.1", "224.0.0.1", "239.255.255.250", "240.0.0.1", "255.255.255.255", "::1", "::", "fe80::1", "fc00::1",
    "fd00:ec2::254", "ff02::1", "fec0::1", "::ffff:127.0.0.1", "::ffff:10.0.0.1", "::ffff:169.254.169.254",
    "::127.0.0.1", "64:ff9b::7f00:1", "64:ff9b::a9fe:a9fe", "64:ff9b:1::1", "2002:7f00:1::", "2001:0:7f00:1::",
    "2001:db8::1", "100::1",
    "0.0.0.0",  # noqa: S104 nothing is bound to it
]  # fmt: skip


@pytest.mark.parametrize("address", INSIDE)
def test_what_is_inside(address: str):
    assert not is_public(ip_address(address))


@pytest.mark.parametrize("address", ["8.8.8.8", "93.184.215.14", "2606:4700::1111", "::ffff:8.8.8.8"])
def test_what_is_outside(address: str):
    assert is_public(ip_address(address))


@pytest.mark.parametrize(
    "url",
    [
        "http://hooks.example.org/", "ftp://hooks.example.org/", "https://", "https:///a", "https://name@example.org/",
        "https://a:b@example.org/", "https://10.0.0.1/", "https://[::1]/", "https://[::ffff:127.0.0.1]/",
        "https://[fe80::1]/", "https://127.0.0.1./", "https://example.org:99999/", "https://example.org:0/",
        "https://exa mple.org/", "https://example.org/\r\nHost: x", "https://ex\u00e4mple.org/", "file:///etc/passwd",
    ],
)  # fmt: skip
def test_an_address_that_is_refused_as_it_is_written(url: str):
    with pytest.raises(NotThere):
        parsed(url, loopback=False)


def answering(monkeypatch: pytest.MonkeyPatch, *addresses: str) -> list[str]:
    """From now on every name has these addresses; gives the names that were looked up."""
    asked: list[str] = []
    as_it_is = socket.getaddrinfo

    def look_up(host: str, port: int, *said: Any, **more: Any) -> list[Any]:
        if host in addresses:  # no name: the address that is connected to
            return list(as_it_is(host, port, *said, **more))
        asked.append(host)
        return [(socket.AF_INET, socket.SOCK_STREAM, 6, "", (address, port)) for address in addresses]

    monkeypatch.setattr(socket, "getaddrinfo", look_up)
    return asked


@pytest.mark.parametrize(
    "addresses", [["10.0.0.1"], ["8.8.8.8", "10.0.0.1"], ["::ffff:10.0.0.1"], ["fe80::1%eth0"], []]
)
def test_a_name_that_leads_inside(monkeypatch: pytest.MonkeyPatch, addresses: list[str]):
    """Also when only one of its addresses does."""
    answering(monkeypatch, *addresses)
    with pytest.raises(NotThere):
        looked_up(parsed("https://hooks.example.org/", loopback=False), loopback=False)


@pytest.mark.parametrize("number", ["2130706433", "0x7f000001", "0177.0.0.1", "127.1"])
def test_a_number_that_is_this_machine(number: str):
    """The system reads it as an address; it is checked after that."""
    with pytest.raises(NotThere):
        looked_up(parsed(f"https://{number}/", loopback=False), loopback=False)


def test_http_goes_to_this_machine_alone(monkeypatch: pytest.MonkeyPatch):
    answering(monkeypatch, "8.8.8.8")
    with pytest.raises(NotThere):
        looked_up(parsed("http://hooks.example.org/", loopback=True), loopback=True)


@pytest.fixture(scope="module")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return certificate_for("hooks.example.org", tmp_path_factory.mktemp("tls"))


def test_the_connection_goes_to_the_address_that_was_looked_at(
    monkeypatch: pytest.MonkeyPatch, certificate: Path
):  # fmt: skip
    """By https under the name's own certificate, and the name is looked up once."""
    with listening(certificate) as heard, override_settings(WEBHOOKS_TO_LOOPBACK=True, WEBHOOKS_CA_FILE=certificate):
        asked = answering(monkeypatch, "127.0.0.1")
        answered = post(f"https://hooks.example.org:{heard.port}/a?b=c", b"{}", {"X-Test": "1"})
    assert (answered.code, answered.problem) == (204, "")
    assert asked == ["hooks.example.org"]
    headers, body = heard.came[0]
    assert (headers["Host"], headers["X-Test"], body) == (f"hooks.example.org:{heard.port}", "1", b"{}")


@pytest.mark.parametrize(("host", "known"), [("other.example.org", True), ("hooks.example.org", False)])
def test_a_certificate_of_another_name_or_of_nobody(
    monkeypatch: pytest.MonkeyPatch, certificate: Path, host: str, known: bool
):
    known_to = str(certificate) if known else ""
    with listening(certificate) as heard, override_settings(WEBHOOKS_TO_LOOPBACK=True, WEBHOOKS_CA_FILE=known_to):
        answering(monkeypatch, "127.0.0.1")
        answered = post(f"https://{host}:{heard.port}/", b"{}", {})
    assert answered.code is None
    assert answered.problem.startswith("Its certificate proves nothing:")
    assert not heard.came


@override_settings(WEBHOOKS_TO_LOOPBACK=True)
def test_a_redirect_is_not_followed():
    with listening() as inside, listening() as heard:
        heard.code, heard.headers = 307, {"Location": f"http://127.0.0.1:{inside.port}/"}
        answered = post(f"http://127.0.0.1:{heard.port}/", b"{}", {})
    assert answered.code == 307
    assert answered.problem == "It answered 307: redirects are not followed."
    assert not inside.came


@override_settings(WEBHOOKS_TO_LOOPBACK=True)
def test_nobody_there_is_a_sentence():
    with listening() as heard:
        port = heard.port
    assert post(f"http://127.0.0.1:{port}/", b"{}", {}).problem == "Nothing answered at 127.0.0.1 in time."


def test_without_leave_nothing_goes_to_this_machine():
    with listening() as heard:
        assert post(f"http://127.0.0.1:{heard.port}/", b"{}", {}).code is None
    assert not heard.came
