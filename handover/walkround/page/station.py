"""One station on one screen: everything to do there, the way round, and where it leads."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext as _

from handover.briefing.panel import TopicPanel, topic_panel
from handover.photo.models import Photo
from handover.rental.models import Rental
from handover.walkround.actions.marking import KINDS, PARTS
from handover.walkround.forms import shown_stamp
from handover.walkround.kerb import side_of
from handover.walkround.models import Hold, WalkRound
from handover.walkround.page.plan import station_address
from handover.walkround.page.readings import ReadingRow, reading_rows
from handover.walkround.page.round import Round, hold_at, round_of
from handover.walkround.page.rows import (
    CheckRow,
    CountRow,
    MarkRow,
    SealRow,
    check_rows,
    count_rows,
    mark_rows,
    seal_rows,
)
from handover.walkround.page.trouble import Trouble
from handover.walkround.page.views import ViewRow, view_rows
from handover.walkround.progress import goes_on_at, open_words, still_open
from handover.walkround.queries import Seen, may_answer
from handover.walkround.sheet import StationSheet, ViewAsk
from shared.access.models import Person
from shared.access.roles import Right

AskedRow = ReadingRow | CheckRow | CountRow | SealRow


@dataclass(frozen=True, slots=True)
class WayOn:
    """Where the peg button leads."""

    small: str
    large: str
    href: str


@dataclass(frozen=True, slots=True)
class Pair:
    """Photos of the same view: how it left, and now."""

    out: Photo | None
    now: Photo | None


@dataclass(frozen=True, slots=True)
class StationPage:
    seen: Seen
    station: StationSheet
    round: Round
    can_answer: bool
    can_release: bool
    levels: list[ReadingRow]
    numbers: list[ReadingRow]
    checks: list[CheckRow]
    counts: list[CountRow]
    seals: list[SealRow]
    marks: list[MarkRow]
    all_views: list[ViewRow]
    topic: TopicPanel | None
    way_on: WayOn
    hold: Hold | None
    still_open: str
    trouble: Trouble | None

    shown_stamp: str

    @property
    def walk(self) -> WalkRound:
        return self.seen.walk

    @property
    def rental(self) -> Rental:
        return self.seen.walk.leg.rental

    @property
    def held_by(self) -> str:
        """The part of the page that can put right what holds it; a kit and the load are put right elsewhere."""
        if self.hold is None or self.hold.cause in {Hold.Cause.KIT, Hold.Cause.LOAD}:
            return "elsewhere"
        return f"{'check' if self.hold.cause == Hold.Cause.CHECK else 'reading'}-{self.hold.subject}"

    @property
    def first_name(self) -> str:
        return self.rental.customer.name.split()[0]

    @property
    def mark_kinds(self) -> list[tuple[str, str]]:
        return list(KINDS.items())

    @property
    def mark_parts(self) -> list[tuple[str, str]]:
        return list(PARTS.items())

    @property
    def photo_subjects(self) -> list[tuple[str, str]]:
        """What a photo can be of, by the id it is kept under; empty is the station as a whole."""
        asked = [(row.ask.id, row.name) for row in self.readings] + [(row.ask.id, row.ask.name) for row in self.seals]
        marks = [
            (row.mark.pk, _("Mark %(mark)s, %(place)s") % {"mark": row.mark.number, "place": row.mark.place})
            for row in self.marks
        ]
        checks = [(row.ask.id, row.ask.text) for row in self.checks if row.word == "bad"]
        return [("", _("The station as a whole")), *((str(key), words) for key, words in [*asked, *marks, *checks])]

    @property
    def marks_words(self) -> str:
        """1 known here, 1 new."""
        new = sum(row.is_new for row in self.marks)
        known = len(self.marks) - new
        return ", ".join(
            words
            for words in (
                known and _("%(known)s known here") % {"known": known},
                new and _("%(new)s new") % {"new": new},
            )
            if words
        )

    @property
    def has_readings_heading(self) -> bool:
        """At return each stick has its own heading instead."""
        return not (self.walk.is_return and self.levels)

    @property
    def readings(self) -> list[ReadingRow]:
        return [*self.levels, *self.numbers]

    @property
    def views_asked(self) -> list[tuple[ViewAsk, Photo | None]]:
        """Each view that the layout asks a photo of, with the latest one that shows it."""
        shown = {photo.subject: photo for photo in self.photos}
        return [(ask, shown.get(ask.subject)) for ask in self.station.views if ask.at in {"both", self.walk.kind}]

    @property
    def views(self) -> list[ViewRow]:
        """Without the one that stands beside the large stick."""
        beside = self.view_pair
        return [view for view in self.all_views if view is not beside]

    @property
    def view_pair(self) -> ViewRow | None:
        """At return, the view of the large stick's instrument, where the layout asks for one."""
        if not self.walk.is_return or not self.levels:
            return None
        return next((view for view in self.all_views if view.ask.subject == self.levels[0].ask.id), None)

    @property
    def other_photos(self) -> list[Photo]:
        """Those that fill no frame."""
        framed = {view.now.pk for view in self.all_views if view.now}
        return [photo for photo in self.photos if photo.pk not in framed]

    @property
    def photos_done(self) -> str:
        """1 of 3; how many there are where the layout asks for none."""
        taken = [view.now is not None for view in self.all_views]
        if not taken:
            return str(len(self.photos))
        return _("%(given)s of %(count)s") % {"given": sum(taken), "count": len(taken)}

    @property
    def open_words(self) -> str:
        """For a tablet that counts by itself: how it says what is still open, as JSON."""
        return json.dumps(open_words(self.station, self.walk.kind), ensure_ascii=False)

    @property
    def readings_done(self) -> str:
        return _progress(self.readings)

    @property
    def checks_done(self) -> str:
        return _progress(self.checks)

    @property
    def counts_done(self) -> str:
        return _progress(self.counts)

    @property
    def seals_done(self) -> str:
        return _progress(self.seals)

    @property
    def hints(self) -> list[str]:
        """How to read what is still to read on the first stick; cylinders share theirs."""
        hints = [row.ask.hint for row in self.levels if row.ask.hint and row.answer is None]
        return hints[:1]

    @property
    def on_the_road(self) -> bool:
        """Whoever stands here has the traffic behind them."""
        sheet = self.walk.sheet.data
        return side_of(self.station.x_mm, sheet.width_mm, sheet.traffic_side) == "road"

    @property
    def has_rows(self) -> bool:
        """Something here can be left unseen."""
        asked = self.readings or self.checks or self.counts or self.seals
        return bool(asked) or any(not row.is_new for row in self.marks)

    @property
    def can_repeat(self) -> bool:
        """Something from before can be repeated with one press."""
        checks = any(row.offered for row in self.checks)
        counts = any(row.answer is None and row.ask.id in self.seen.before.counts for row in self.counts)
        return self.can_answer and (checks or counts or any(row.offered for row in self.seals))

    @property
    def photos(self) -> list[Photo]:
        here = (photo for photo in self.seen.photos if photo.walk_id == self.walk.pk)
        return [photo for photo in here if photo.station_number == self.station.number]

    @property
    def pair(self) -> Pair | None:
        """At return, the large stick's instrument as it was photographed at both ends."""
        if not self.walk.is_return or not self.levels:
            return None
        subject = self.levels[0].ask.id
        shots = [photo for photo in self.seen.photos if photo.subject == subject]
        now = [photo for photo in shots if photo.walk_id == self.walk.pk]
        out = [photo for photo in shots if photo.walk_id != self.walk.pk]
        return Pair(out[-1] if out else None, now[-1] if now else None)

    @property
    def other_address(self) -> str:
        return station_address(self.seen.other, self.other_number) if self.seen.other else ""

    @property
    def other_number(self) -> int:
        other = self.seen.other
        return goes_on_at(other.sheet.data, other.kind, self.seen.other_now) if other else 0

    def row(self, item: UUID) -> AskedRow | None:
        """The row of one question, to be shown again by itself."""
        groups: tuple[Sequence[AskedRow], ...] = (self.readings, self.checks, self.counts, self.seals)
        return next((row for rows in groups for row in rows if row.ask.id == item), None)


def station_page(
    seen: Seen, station: StationSheet, person: Person, *, now: datetime, trouble: Trouble | None = None
) -> StationPage:  # fmt: skip
    can_answer = may_answer(seen.walk, person)
    readings = list(reading_rows(seen, station, trouble, can_move=can_answer))
    return StationPage(
        seen=seen,
        station=station,
        round=round_of(seen, station, now=now),
        can_answer=can_answer,
        can_release=person.may(Right.RELEASE),
        levels=[row for row in readings if row.look != "number"],
        numbers=[row for row in readings if row.look == "number"],
        checks=list(check_rows(seen, station, trouble)),
        counts=list(count_rows(seen, station, trouble)),
        seals=list(seal_rows(seen, station, trouble)),
        marks=list(mark_rows(seen, station, trouble)),
        all_views=list(view_rows(seen, station)),
        topic=topic_panel(seen, station),
        way_on=_way_on(seen.walk, station),
        hold=hold_at(seen, station),
        still_open=still_open(station, seen.walk.kind, seen.now),
        trouble=trouble,
        shown_stamp=shown_stamp(now),
    )


def _way_on(walk: WalkRound, station: StationSheet) -> WayOn:
    stations = walk.sheet.data.stations
    place = stations.index(station)
    if place + 1 < len(stations):
        after = stations[place + 1]
        return WayOn(_("Go on to"), f"{after.number} {after.name}", station_address(walk, after.number))
    large = _("Finish the return") if walk.is_return else _("Sign and hand over")
    return WayOn(_("Look through, then"), large, reverse("sign-walk", args=[walk.pk]))


def _progress(rows: Sequence[AskedRow]) -> str:
    """1 of 2."""
    given = [row.answer is not None for row in rows]
    return _("%(given)s of %(count)s") % {"given": sum(given), "count": len(given)}
