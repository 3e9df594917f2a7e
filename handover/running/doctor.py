"""What only handover's tables and keys can tell, and the whole list of checks."""

from collections.abc import Iterator
from datetime import timedelta
from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils import timezone
from weasyprint import HTML

from fleet.models import Branch
from handover.record.checks import DAYS_TO_RENEW
from handover.record.expiring import seal_days_left
from handover.record.key_source import key_source
from handover.record.render import complaints
from handover.running.figures import Figures, figures
from shared.running.doctor import keeping, machine, setting
from shared.running.doctor.finding import Check, Finding

# A letter each of the scripts in which customers write their names.
LETTERS = {
    "Latin": "Ł", "Greek": "Ω", "Cyrillic": "Ж", "Arabic": "ع", "Hebrew": "ש", "Devanagari": "क", "Thai": "ก",
    "Chinese": "字", "Japanese": "あ", "Korean": "한",
}  # fmt: skip
SILENT, ON_THE_WAY = timedelta(hours=4).total_seconds(), timedelta(days=1).total_seconds()
RENDERING = timedelta(minutes=30).total_seconds()


def certificate() -> Iterator[Finding]:
    if settings.PRODUCTION and key_source().is_demo:
        yield Finding(
            "demo-key", "Records are sealed with the demo key, which proves nothing.",
            "Name the operator's own: RECORD_PKCS12_FILE with RECORD_PKCS12_PASSPHRASE, or RECORD_PKCS11_MODULE.",
        )  # fmt: skip
        return
    left = seal_days_left(timezone.now().date())
    if left is None:
        yield Finding(
            "seal", "The key that seals records cannot be used: no record can be made.",
            "manage.py check --deploy names the setting at fault.",
        )  # fmt: skip
    elif left < DAYS_TO_RENEW:
        said = f"ends in {left} days" if left >= 0 else f"ended {-left} days ago"
        yield Finding(
            "certificate", f"The certificate that seals records {said}.", "Have it renewed.", wrong=left < 7
        )  # fmt: skip


def faces() -> Iterator[Finding]:
    """A Record with a name that no face can draw is refused, in front of the customer."""
    absent = [script for script, letter in LETTERS.items() if not _can_be_drawn(letter)]
    if absent:
        yield Finding(
            "fonts", f"Records with names in {', '.join(absent)} letters cannot be made: no face draws them.",
            "apt-get install fonts-noto-core fonts-noto-cjk",
        )  # fmt: skip


def _can_be_drawn(letter: str) -> bool:
    with complaints() as heard:
        HTML(string=f"<p>{letter}").write_pdf()
    return not any(line.startswith(".notdef") for line in heard)


def zones_of_branches() -> Iterator[Finding]:
    for branch in Branch.objects.order_by("code"):
        try:
            ZoneInfo(branch.zone)
        except (KeyError, ValueError):
            yield Finding(
                "branch-zone", f"{branch.name} is in {branch.zone}, a time zone that this machine does not know.",
                "apt-get install tzdata, or set another zone for the branch in the setting-up pages.",
            )  # fmt: skip


def day_to_day() -> Iterator[Finding]:
    told = figures(timezone.now())
    yield from _of_tablets(told)
    yield from _of_papers(told)


def _of_tablets(told: Figures) -> Iterator[Finding]:
    if told.held:
        yield Finding(
            "held", f"{told.held} entries of tablets wait for a person to decide.",
            "A manager finds them under Held entries.", wrong=False,
        )  # fmt: skip
    if told.unsent_s and told.unsent_s > SILENT:
        yield Finding(
            "unsent", f"A tablet with a walk-round under way has sent nothing for {told.unsent_s / 3600:.0f} hours.",
            "Bring it where there is signal, with Levelpeg open: what it holds is sent then.", wrong=False,
        )  # fmt: skip
    if told.half_arrived_oldest_s and told.half_arrived_oldest_s > ON_THE_WAY:
        yield Finding(
            "half-arrived", f"{told.half_arrived} photos have arrived in part, the oldest began more than a day ago.",
            "Their tablets still have them: open Levelpeg there until it says that all is sent.", wrong=False,
        )  # fmt: skip


def _of_papers(told: Figures) -> Iterator[Finding]:
    if told.renders.failed:
        yield Finding(
            "renders-failed", f"{told.renders.failed} records, letters or bundles could not be made.",
            "The page of each says why, and makes it again.",
        )  # fmt: skip
    if told.renders.oldest and (told.at - told.renders.oldest).total_seconds() > RENDERING:
        yield Finding(
            "renders-waiting", f"{told.renders.waiting} records, letters or bundles wait, the oldest since "
            f"{told.renders.oldest:%Y-%m-%d %H:%M} (UTC).",
            "Look whether a worker runs; manage.py tasks_again --unmade orders them anew.",
        )  # fmt: skip
    if told.mail.failed:
        yield Finding(
            "mail-failed", f"{told.mail.failed} e-mails to customers were not taken by the mail server.",
            "The page of each rental's link says why, and sends it again.", wrong=False,
        )  # fmt: skip


CHECKS: tuple[Check, ...] = (
    *setting.CHECKS, *machine.CHECKS, *keeping.CHECKS, certificate, faces, zones_of_branches, day_to_day,
)  # fmt: skip
