"""What can go wrong in a yard, one happening a round. Each leaves its tablet on a page that is ready."""

import time
from collections.abc import Callable

from playwright.sync_api import Route

from tests.browser import steps
from tests.browser.test_offline import keep_photo, large_photo
from tests.soak.yard import Day, Hand

Happening = Callable[[Day, Hand], None]
TOLD = "**/tablet/entries/"


def calm(day: Day, hand: Hand) -> None:
    hand.press(day.draw, day.draw.randint(1, 4))


def signal_goes(day: Day, hand: Hand) -> None:
    hand.signal(there=False)
    hand.press(day.draw, day.draw.randint(1, 4))


def signal_comes(day: Day, hand: Hand) -> None:
    hand.signal(there=True)
    hand.press(day.draw, 1)


def page_is_loaded_again(day: Day, hand: Hand) -> None:
    hand.press(day.draw, day.draw.randint(1, 3))
    _is_as_it_was(day, hand, hand.page.reload)


def browser_is_killed(day: Day, hand: Hand) -> None:
    """Moments after the last press; what was on the screen is there again."""
    hand.press(day.draw, day.draw.randint(1, 3))
    hand.look_in()
    time.sleep(day.draw.random() / 10)
    address = hand.page.url

    def killed() -> None:
        hand.tablet.kill()
        hand.tablet.open(offline=not hand.has_signal).goto(address)

    _is_as_it_was(day, hand, killed)


def _is_as_it_was(day: Day, hand: Hand, do: Callable[[], object]) -> None:
    """Only where nobody else walks: what another tablet answered meanwhile may stand there by right."""
    before = hand.shown()
    do()
    hand.let_in()
    after = hand.shown()
    if not hand.has_signal and before != after:
        day.wrong.append(f"{hand.name}, {hand.page.url}: {set(before) ^ set(after)} after it was opened again.")


def server_is_killed(day: Day, hand: Hand) -> None:
    """While answers are on the way."""
    running = hand.tablet.running
    hand.press(day.draw, 2)
    running.kill()
    hand.press(day.draw, 1)
    running.start()


def answer_is_lost(day: Day, hand: Hand) -> None:
    """The server has written, its answer never arrives."""

    def forward(route: Route) -> None:
        route.fetch()
        route.abort()

    _on_the_way(day, hand, forward)


def sent_twice(day: Day, hand: Hand) -> None:
    """A network that repeats itself: the same batch arrives twice, the second one is answered."""

    def forward(route: Route) -> None:
        route.fetch()
        route.fulfill(response=route.fetch())

    _on_the_way(day, hand, forward)


def foreign_page(day: Day, hand: Hand) -> None:
    """A guest network answers everything with its own page, and says 200."""
    _on_the_way(day, hand, lambda route: route.fulfill(status=200, body="<h1>Welcome</h1>"))


def _on_the_way(day: Day, hand: Hand, forward: Callable[[Route], None]) -> None:
    context = hand.page.context
    context.route(TOLD, forward)
    hand.press(day.draw, day.draw.randint(1, 3))
    context.unroute_all(behavior="ignoreErrors")


def session_is_gone(day: Day, hand: Hand) -> None:
    hand.page.context.clear_cookies(name="sessionid")
    hand.press(day.draw, 2)
    hand.page.wait_for_timeout(300)
    hand.sign_in_again()


def csrf_is_gone(day: Day, hand: Hand) -> None:
    hand.page.context.clear_cookies(name="csrftoken")
    hand.press(day.draw, 2)


def photo(day: Day, hand: Hand) -> None:
    keep_photo(hand.page, steps.jpeg())
    hand.page.wait_for_timeout(200)


def photo_and_the_server_goes(day: Day, hand: Hand) -> None:
    """In the middle of its pieces."""
    running = hand.tablet.running
    keep_photo(hand.page, large_photo())
    hand.page.wait_for_timeout(day.draw.randint(100, 900))
    running.kill()
    running.start()


# How often of a hundred; killing things takes longest and is what it is about.
HAPPENINGS: tuple[tuple[int, Happening], ...] = (
    (14, calm),
    (11, signal_goes),
    (13, signal_comes),
    (8, page_is_loaded_again),
    (9, browser_is_killed),
    (6, server_is_killed),
    (8, answer_is_lost),
    (6, sent_twice),
    (4, foreign_page),
    (5, session_is_gone),
    (4, csrf_is_gone),
    (9, photo),
    (3, photo_and_the_server_goes),
)
