"""So many rounds: who, where and what goes wrong are drawn; the same seed draws the same."""

import random
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Playwright

from tests.browser import steps
from tests.browser.serving import Running, copy_of, running
from tests.browser.yard import Tablet, put_by, ready
from tests.soak.happenings import HAPPENINGS
from tests.soak.yard import Account, Day, Hand, account_of, send_all

PICKUPS = ("Tomas Iveldt", "Noor Halabi")


def soak(
    playwright: Playwright, rounds: int, *, seed: int, filled: Path, folder: Path, say: Callable[[str], None]
) -> tuple[Account, Day]:  # fmt: skip
    """Plays the rounds on a copy of a demo, in an empty folder, then sends everything and counts."""
    with running(copy_of(filled, folder / "var")) as server:
        day = _begin(playwright, server, folder, random.Random(seed))  # noqa: S311 - no secret
        try:
            for number in range(1, rounds + 1):
                _round(day, number, say)
            send_all(day)
            return account_of(day), day
        finally:
            for hand in day.hands:
                hand.tablet.close()


def _begin(playwright: Playwright, server: Running, folder: Path, draw: random.Random) -> Day:
    """Isla and Callum each have a tablet; two pickups are under way, which both of them walk."""
    hands = [Hand(name, Tablet(playwright, folder / name, server)) for name in ("isla", "ruth")]
    for hand in hands:
        put_by(hand.tablet.open(), hand.name)
    page = hands[0].page
    walks = []
    for customer in PICKUPS:
        steps.begin_pickup(page, customer)
        walks.append(page.url.split("station/")[0])
    for hand in hands:
        hand.page.goto(f"{walks[0]}station/1/")
        ready(hand.page)
        hand.page.wait_for_selector("html[data-put-by]", state="attached", timeout=60_000)
    return Day(draw, hands, walks)


def _round(day: Day, number: int, say: Callable[[str], None]) -> None:
    hand = day.draw.choice(day.hands)
    weights, happenings = zip(*HAPPENINGS, strict=True)
    [happening] = day.draw.choices(happenings, weights)
    day.go_somewhere(hand)
    happening(day, hand)
    hand.look_in()
    day.happened[happening.__name__.replace("_", " ")] += 1
    say(f"{number}: {hand.name}, {happening.__name__.replace('_', ' ')}")
