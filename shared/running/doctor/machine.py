"""The machine: folders, room on the disk, its clock and its knowledge of time zones, the way to the mail server."""

import os
import shutil
import socket
import tempfile
import zoneinfo
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

from django.conf import settings
from django.db.models import Max
from django.utils import timezone

from shared.ledger.models import Entry
from shared.running.doctor.finding import Finding

LEAST_FREE, LEAST_FREE_SHARE = 2_000_000_000, 0.05
CLOCK_MAY_BE_OFF = timedelta(seconds=5)
MAIL_TIMEOUT_S = 3


def folders() -> Iterator[Finding]:
    for folder in _folders():
        if problem := _not_writable(folder):
            yield Finding(
                "folder", f"Nothing can be written to {folder}: {problem}.",
                f"Give the user that runs Levelpeg the right to write there: chown -R levelpeg {folder}",
            )  # fmt: skip


def _folders() -> list[Path]:
    """Uploads make their folder with the first one."""
    local = [settings.VAR_DIR, settings.UPLOADS_DIR]
    if not settings.EMAIL_HOST:
        local.append(settings.EMAIL_FILE_PATH)
    return [Path(folder) for folder in local]


def _not_writable(folder: Path) -> str:
    there = next(one for one in (folder, *folder.parents) if one.exists())
    try:
        with tempfile.TemporaryFile(dir=there) as file:
            file.write(b"?")
    except OSError as fault:
        return os.strerror(fault.errno or 0).lower()
    return ""


def room() -> Iterator[Finding]:
    usage = shutil.disk_usage(settings.VAR_DIR)
    if usage.free < LEAST_FREE or usage.free < usage.total * LEAST_FREE_SHARE:
        yield Finding(
            "disk", f"The disk of {settings.VAR_DIR} has {usage.free / 1e9:.1f} GB left of {usage.total / 1e9:.0f} GB.",
            "Make room: old backups and logs first. Nothing of Levelpeg's own folders may be deleted by hand.",
        )  # fmt: skip


def clock() -> Iterator[Finding]:
    """An entry from the future was written under another clock: then or now it was wrong."""
    newest = Entry.objects.aggregate(newest=Max("recorded_at"))["newest"]
    now = timezone.now()
    if newest and newest > now + CLOCK_MAY_BE_OFF:
        yield Finding(
            "clock", f"The newest entry of the ledger is {(newest - now).total_seconds():.0f} s in the future by this "
            "machine's clock.",
            "Set the clock by the network (timedatectl set-ntp true), on every machine that runs Levelpeg.",
        )  # fmt: skip


def time_zones() -> Iterator[Finding]:
    try:
        zoneinfo.ZoneInfo("Europe/London")
    except zoneinfo.ZoneInfoNotFoundError:
        yield Finding(
            "time-zones", "The data of the world's time zones is missing.", "Install tzdata: apt-get install tzdata"
        )


def mail() -> Iterator[Finding]:
    if not settings.EMAIL_HOST:
        yield Finding(
            "mail", f"No mail server is named: e-mails are laid down in {settings.EMAIL_FILE_PATH} and reach nobody.",
            "Set LEVELPEG_EMAIL_HOST, _PORT, _USER and _PASSWORD.", wrong=settings.PRODUCTION,
        )  # fmt: skip
        return
    try:
        socket.create_connection((settings.EMAIL_HOST, settings.EMAIL_PORT), MAIL_TIMEOUT_S).close()
    except OSError as fault:
        yield Finding(
            "mail", f"The mail server {settings.EMAIL_HOST}:{settings.EMAIL_PORT} does not answer: {fault}.",
            "Look whether it runs and LEVELPEG_EMAIL_HOST and _PORT are right. E-mails that failed are sent again by "
            "hand, on the page of each.",
        )  # fmt: skip


CHECKS = (folders, room, clock, time_zones, mail)
