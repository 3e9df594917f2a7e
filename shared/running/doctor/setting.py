"""The settings: what a demo may and a server with customers may not."""

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

from django.conf import settings

from shared.running.doctor.finding import Finding

AT_HOME = frozenset({"127.0.0.1", "localhost", "[::1]"})


def production() -> Iterator[Finding]:
    if not settings.PRODUCTION:
        yield Finding(
            "production", "This is a demo: its secrets are known to everybody.",
            "For real customers set LEVELPEG_PRODUCTION=1, and LEVELPEG_SECRET_KEY with it.", wrong=False,
        )  # fmt: skip
    elif settings.DEBUG:
        yield Finding(
            "debug", "A page that breaks shows its insides to whoever opened it.", "Take LEVELPEG_DEBUG away."
        )


def hosts() -> Iterator[Finding]:
    if not settings.PRODUCTION:
        return
    if "*" in settings.ALLOWED_HOSTS:
        yield Finding(
            "hosts", "Any name is taken for this server's, so links in e-mails can be made to lead elsewhere.",
            "Set LEVELPEG_HOSTS to the names that customers and staff use, with commas between them.",
        )  # fmt: skip
    elif not set(settings.ALLOWED_HOSTS) - AT_HOME:
        yield Finding(
            "hosts", "No name of this server is known, so it answers this machine alone.",
            "Set LEVELPEG_HOSTS to the names that customers and staff use, with commas between them.",
        )  # fmt: skip


def public_url() -> Iterator[Finding]:
    """It is printed on Records, which are looked up years later."""
    if not settings.PRODUCTION:
        return
    address = urlsplit(settings.PUBLIC_URL)
    host = address.hostname or ""
    if address.scheme != "https" or host in AT_HOME:
        yield Finding(
            "public-url", f"Records and e-mails send customers to {settings.PUBLIC_URL}, where they find nothing.",
            "Set LEVELPEG_PUBLIC_URL to the https address of this server as customers reach it.",
        )  # fmt: skip
    elif host not in settings.ALLOWED_HOSTS and "*" not in settings.ALLOWED_HOSTS:
        yield Finding(
            "public-url", f"Records send customers to {host}, and this server does not answer to that name.",
            f"Add {host} to LEVELPEG_HOSTS.",
        )  # fmt: skip


def static_files() -> Iterator[Finding]:
    if settings.PRODUCTION and not (Path(settings.STATIC_ROOT) / "staticfiles.json").is_file():
        yield Finding(
            "static", "Style and scripts of the pages are not collected: every page breaks.",
            "Run manage.py collectstatic --no-input, with each new version.",
        )  # fmt: skip


CHECKS = (production, hosts, public_url, static_files)
