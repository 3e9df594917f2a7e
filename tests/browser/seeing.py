"""What a page is like for eyes and fingers, asked of the rendered page itself."""

from pathlib import Path
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

ASKED = Path(__file__).parent / "asked"
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}
FLOOR = 48
SMALLEST = 17


def barriers(page: Page) -> list[str]:
    """What axe-core finds against WCAG 2.2 A and AA, one line each."""
    page.wait_for_load_state()
    found = Axe().run(page, options=WCAG).response["violations"]
    return [f"{page.url} {rule['id']} {_place(node)}" for rule in found for node in rule["nodes"]]


def _place(node: dict[str, Any]) -> str:
    return f"{node['target']} {node['failureSummary']} {node['html'][:160]}"


def small_targets(page: Page) -> list[str]:
    return _asked(page, "small_targets.js", FLOOR)


def small_texts(page: Page) -> list[str]:
    return _asked(page, "small_texts.js", SMALLEST)


def beyond_the_edge(page: Page) -> list[str]:
    return _asked(page, "beyond_the_edge.js")


def cut_off(page: Page) -> list[str]:
    return _asked(page, "cut_off.js")


def _asked(page: Page, question: str, limit: int | None = None) -> list[str]:
    # A heading stands there before its style does.
    page.wait_for_load_state()
    found: list[str] = page.evaluate((ASKED / question).read_text(encoding="utf-8"), limit)
    return found


def unfold(page: Page) -> None:
    """Everything that can be opened is open."""
    page.evaluate("() => document.querySelectorAll('details').forEach((each) => { each.open = true; })")


def dusk(page: Page) -> None:
    page.evaluate("() => { document.documentElement.dataset.light = 'dusk'; }")


def double_the_text(page: Page) -> None:
    """As the browser's own text size at 200 %."""
    page.evaluate("() => { document.documentElement.style.fontSize = '200%'; }")
