"""What was found as the page and the downloads say it: what it is, what matched, where and when, and the way there."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.urls import reverse

from handover.search.asking import Asked
from handover.search.folding import around, compact, folded
from handover.search.models import SearchRow
from handover.search.queries import Group
from handover.search.sources import KINDS, LABELS, PAGES, UNIT
from shared.dates import dated

ROOM = 60  # letters on each side of what matched


@dataclass(frozen=True, slots=True)
class Found:
    """`before`, `hit`, `after`: the text that matched, cut around the place."""

    title: str
    label: str
    before: str
    hit: str
    after: str
    branch: str
    day: date
    until: date | None
    href: str

    @property
    def days(self) -> str:
        return f"{dated(self.day)} – {dated(self.until)}" if self.until else dated(self.day)


@dataclass(frozen=True, slots=True)
class GroupShown:
    """`more` leads to all of the kind, or to its next page."""

    title: str
    rows: Sequence[Found]
    more: str


def shown(group: Group, asked: Asked) -> GroupShown:
    more = ""
    if group.last is not None:
        going_on = f"&after={group.last.hex()}" if asked.kind else ""
        more = f"{reverse('search')}?{asked.only(group.kind)}{going_on}"
    return GroupShown(str(KINDS[group.kind]), [found(row, asked) for row in group.rows], more)


def found(row: SearchRow, asked: Asked) -> Found:
    before, hit, after = around(_matched(row, asked), asked.read.phrase, room=ROOM)
    return Found(
        title_of(row), label_of(row), before, hit, after, str(row.branch), row.day, row.until, address_of(row)
    )  # fmt: skip


def label_of(row: SearchRow) -> str:
    return str(LABELS[row.source])


def title_of(row: SearchRow) -> str:
    """The rental and whose it is, or the unit."""
    if row.rental:
        return f"{row.rental.number}, {row.rental.customer}"
    return str(row.unit) if row.unit else str(row.branch)


def _matched(row: SearchRow, asked: Asked) -> str:
    """The line of the text in which the phrase stands; the whole text where it is none of them."""
    lines, read = row.text.split("\n"), asked.read
    said = [line for line in lines if read.loose and read.loose in folded(line)]
    said += [line for line in lines if read.tight and read.tight in compact(line)]
    return said[0] if said else ", ".join(lines)


def address_of(row: SearchRow) -> str:
    """The thing's own page, or the page of the rental on which it stands."""
    page = PAGES[row.source]
    if row.source == UNIT or (row.source == "Mark" and row.rental_id is None):
        return reverse("unit-jobs", args=[row.unit.number]) if row.unit else ""
    args: dict[str, list[UUID | str | int]] = {
        "statement-version": [row.target, row.detail],
        "retention": [row.branch.code],
        "paper-sheets": [row.branch.code],
    }
    return reverse(page, args=args.get(page, [row.target]))
