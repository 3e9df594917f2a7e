"""What a page is like for eyes and fingers, asked of the rendered page itself."""

from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

WCAG = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    "resultTypes": ["violations"],
}
FLOOR = 48
SMALLEST = 17


def barriers(page: Page) -> list[str]:
    """What axe-core finds against WCAG 2.2 A and AA, one line each."""
    found = Axe().run(page, options=WCAG).response["violations"]
    return [f"{page.url} {rule['id']} {_place(node)}" for rule in found for node in rule["nodes"]]


def _place(node: dict[str, Any]) -> str:
    return f"{node['target']} {node['failureSummary']} {node['html'][:160]}"


# A control counts with the label that takes its touch, a link inside a sentence not at all (WCAG 2.5.8, inline), and
# what another control covers entirely is touched there.
SMALL_TARGETS = """floor => {
  const found = [];
  const controls = 'a[href], button, input:not([type=hidden]), select, textarea, summary, [role=slider], [tabindex="0"]';
  const inline = (element) => element.matches('a')
    && getComputedStyle(element).display === 'inline'
    && [...element.parentElement.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
  for (const element of document.querySelectorAll(controls)) {
    if (!element.checkVisibility({ visibilityProperty: true, opacityProperty: false }) || element.disabled) continue;
    const label = element.matches('input[type=radio], input[type=checkbox]') && element.closest('label');
    const touched = label || element.querySelector('.hit') || element;
    const { width, height, right, bottom } = touched.getBoundingClientRect();
    if (right <= 0 || bottom <= 0 || inline(element)) continue;
    if (width < floor - 0.01 || height < floor - 0.01) {
      const name = element.getAttribute('aria-label') || element.textContent.trim() || element.name || element.id;
      found.push(`${element.tagName.toLowerCase()} "${name.replace(/\\s+/g, ' ').slice(0, 50)}" ${width.toFixed(1)}x${height.toFixed(1)}`);
    }
  }
  return found;
}"""

# In a drawing the text is as large as its scale makes it.
SMALL_TEXTS = """smallest => {
  const found = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode;
    const element = node.parentElement;
    if (!node.textContent.trim() || !element.checkVisibility({ visibilityProperty: true })) continue;
    if (!element.getBoundingClientRect().width) continue;
    if (element.closest('script, style, option, .unseen, caption.unseen')) continue;
    let size = parseFloat(getComputedStyle(element).fontSize);
    if (element.ownerSVGElement) {
      const { a, b } = element.getScreenCTM();
      size *= Math.hypot(a, b);
    }
    if (size < smallest - 0.01) found.push(`"${node.textContent.trim().slice(0, 40)}" ${size.toFixed(1)} px in ${element.tagName.toLowerCase()}.${element.getAttribute('class') || ''}`);
  }
  return [...new Set(found)];
}"""

BEYOND_THE_EDGE = """() => {
  const over = document.documentElement.scrollWidth - window.innerWidth;
  if (over <= 0) return [];
  const wide = [...document.body.querySelectorAll('*')].filter((element) => element.checkVisibility()
    && element.getBoundingClientRect().right > window.innerWidth + 0.5);
  return wide.map((element) => `${over} px over: ${element.tagName.toLowerCase()}.${element.getAttribute('class') || ''} `
    + `"${element.textContent.trim().replace(/\\s+/g, ' ').slice(0, 40)}"`).slice(-6).concat(wide.length ? [] : [`${over} px over`]);
}"""


def small_targets(page: Page) -> list[str]:
    """What can be pressed and is smaller than the floor in one direction."""
    found: list[str] = page.evaluate(SMALL_TARGETS, FLOOR)
    return found


def small_texts(page: Page) -> list[str]:
    found: list[str] = page.evaluate(SMALL_TEXTS, SMALLEST)
    return found


def beyond_the_edge(page: Page) -> list[str]:
    """What makes the page scroll sideways."""
    found: list[str] = page.evaluate(BEYOND_THE_EDGE)
    return found


def double_the_text(page: Page) -> None:
    """As the browser's own text size at 200 %."""
    page.evaluate("() => { document.documentElement.style.fontSize = '200%'; }")
