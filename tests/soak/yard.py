"""Two tablets on one server for a long day: what each has on disk is remembered, and asked of the server in the end."""

import random
import sqlite3
from collections import Counter
from contextlib import closing
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID, uuid5

from playwright.sync_api import Page

from tests.browser import steps
from tests.browser.yard import PATIENCE_S, Tablet, ready, stored

PRESSABLE = (
    "[data-asked=check] .pair button, [data-asked=seal] .pair button, [data-asked=mark] .pair button, "
    "[data-kind=topic] button.yes-mine, .step [data-step='1'], .step [data-step='-1'], [data-kind=count] button"
)
STATIONS = 12


@dataclass
class Hand:
    """A person with a tablet. `kept` is every key that was ever seen on its disk, by kind."""

    name: str
    tablet: Tablet
    has_signal: bool = True
    kept: dict[str, str] = field(default_factory=dict)

    @property
    def page(self) -> Page:
        return self.tablet.page

    def look_in(self) -> None:
        """Remembers what is on the tablet's disk now."""
        for store in ("outbox", "log"):
            self.kept |= {row["key"]: row["kind"] for row in stored(self.page, store)}

    def press(self, draw: random.Random, times: int) -> None:
        """So many answers of this station, whatever they are; a press counts once it is on disk."""
        for _ in range(times):
            found = self.page.locator(PRESSABLE).filter(visible=True)
            if count := found.count():
                found.nth(draw.randrange(count)).tap(timeout=5_000)
        # The fingers rest: a stepper is one Reading when nothing more comes.
        self.page.wait_for_timeout(450)

    def shown(self) -> list[str]:
        """What stands pressed or typed on this screen."""
        seen: list[str] = self.page.evaluate(
            """() => [...document.querySelectorAll(".pair button[aria-pressed=true][id], .step input[id]")]
                 .map((one) => one.value ? `${one.id}=${one.value}` : one.id).sort()"""
        )
        return seen

    def signal(self, there: bool) -> None:
        self.tablet.signal(there)
        self.has_signal = there

    def sign_in_again(self) -> None:
        """In the page, where work waits."""
        door = self.page.locator("#sign-in-here")
        if door.count() and door.is_visible():
            door.get_by_label("Name").fill(self.name)
            door.get_by_label("Password").fill(steps.PASSWORD)
            door.get_by_role("button", name="Sign in and send").tap()

    def opens(self, address: str) -> None:
        self.page.goto(address)
        self.let_in()

    def let_in(self) -> None:
        """Whoever is asked to sign in has a signal, and does: a killed browser may forget its last cookie."""
        if "/sign-in/" in self.page.url:
            self.signal(there=True)
            self.page.get_by_label("Name").fill(self.name)
            self.page.get_by_label("Password").fill(steps.PASSWORD)
            self.page.get_by_role("button", name="Sign in").tap()
            self.page.wait_for_url(lambda url: "/sign-in/" not in url)
        ready(self.page)

    def waits(self) -> list[dict[str, Any]]:
        return [row for row in stored(self.page, "outbox") if not row["state"]]


@dataclass
class Day:
    """The run: its walk-rounds by address, what happened how often, and what was seen wrong."""

    draw: random.Random
    hands: list[Hand]
    walks: list[str]
    happened: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)

    def somewhere(self) -> str:
        return f"{self.draw.choice(self.walks)}station/{self.draw.randint(1, STATIONS)}/"

    def go_somewhere(self, hand: Hand) -> None:
        if self.draw.random() < 0.5 and "/station/" in hand.page.url:
            number = self.draw.randint(1, STATIONS)
            steps.go_to_station(hand.page, number)
            ready(hand.page)
        else:
            hand.opens(self.somewhere())


def send_all(day: Day) -> None:
    """Everybody has a signal, is signed in, and what waits goes out."""
    for hand in day.hands:
        hand.signal(there=True)
        hand.opens(day.somewhere())
        for _ in range(PATIENCE_S * 2):
            if not hand.waits():
                break
            hand.sign_in_again()
            hand.page.wait_for_timeout(500)
        else:
            day.wrong.append(f"{hand.name}: {len(hand.waits())} entries were never sent.")
        hand.look_in()


@dataclass(frozen=True)
class Account:
    """What the server has in the end, against what the tablets had on disk."""

    entries: int
    photos: int
    lost: tuple[str, ...]
    doubled: tuple[str, ...]

    @property
    def holds(self) -> bool:
        return not self.lost and not self.doubled


ANSWERS = ("checkanswer", "reading", "count", "sealcheck", "topicheard", "markfinding", "mark", "photo")
WRITTEN = {"check", "reading", "count", "seal", "topic", "judge", "mark", "photo"}


def account_of(day: Day) -> Account:
    """Every key and number that was on a disk has its receipt; every row has one receipt and every receipt one row."""
    with closing(sqlite3.connect(day.hands[0].tablet.running.server.var / "levelpeg.sqlite3", timeout=20)) as database:
        receipts = database.execute("select key, device_id, seq, kind, outcome from handover_receipt").fetchall()
        rows = [
            UUID(key) for table in ANSWERS
            for (key,) in database.execute(f"select id from handover_{table} where {_of_the_day(table)}")  # noqa: S608
        ]  # fmt: skip
        twice = database.execute("select key from shared_entry group by chain, key having count(*) > 1").fetchall()
    by_key = {UUID(key) for key, *_ in receipts}
    written = [UUID(key) for key, _, _, kind, outcome in receipts if kind in WRITTEN and outcome in {"ok", "conflict"}]
    kept = [(key, kind, hand) for hand in day.hands for key, kind in hand.kept.items()]
    lost = [f"key {key} ({kind})" for key, kind, hand in kept if not _is_there(key, kind, by_key, hand)]
    lost += [f"row of {key}" for key in written if key not in set(rows)]
    lost += _gaps(receipts)
    doubled = [str(key) for key, times in Counter(rows).items() if times > 1]
    doubled += [f"ledger {key}" for (key,) in twice]
    doubled += [f"row {key} has no receipt" for key in set(rows) - set(written)]
    photos = sum(kind == "photo" for _, kind, _ in kept)
    return Account(len(kept), photos, tuple(lost), tuple(doubled))


def _of_the_day(table: str) -> str:
    """Rows of the walk-rounds under way that were pressed one by one."""
    walk = "found_on_id" if table == "mark" else "walk_id"
    bulk = "" if table in {"mark", "photo"} else " and not in_bulk"
    return f"{walk} in (select id from handover_walkround where finished_at is null){bulk}"  # noqa: S608 - names of our own tables


def _is_there(key: str, kind: str, receipts: set[UUID], hand: Hand) -> bool:
    devices = {row["value"] for row in stored(hand.page, "meta") if row["name"] == "device"}
    own = {uuid5(UUID(key), str(UUID(device))) for device in devices} if kind == "begin" else {UUID(key)}
    return bool(own & receipts)


def _gaps(receipts: list[tuple[Any, ...]]) -> list[str]:
    """Numbers of a device that never came."""
    numbers: dict[str, set[int]] = {}
    for _, device, seq, *_ in receipts:
        numbers.setdefault(device, set()).add(seq)
    return [
        f"number {missing} of device {device}"
        for device, seen in numbers.items()
        for missing in set(range(1, max(seen) + 1)) - seen
    ]
