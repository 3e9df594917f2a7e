"""The Cab card on paper: one A4 page. Nothing is fetched but its style sheet and the faces."""

from collections.abc import Sequence
from typing import Any

from django.template.loader import render_to_string
from weasyprint import HTML, Document
from weasyprint.text.fonts import FontConfiguration

from handover.cabcard.rows import CardPage
from handover.record.faces import style_and_faces
from handover.record.render import NARROW_SPACES, RecordFetcher, complaints, refuse_complaints

# How close the page is set: the class its style sheet knows, px of the drawing, rows of nights. Roomy where it fits.
MOST_ROWS = 7
SETTINGS = (
    ("roomy", 352, MOST_ROWS), ("fuller", 312, MOST_ROWS), ("fuller closer", 290, MOST_ROWS),
    ("fullest", 262, MOST_ROWS), ("fullest", 220, 5),
    ("fullest", 220, 3),
)  # fmt: skip
ROOMY_LINES, FULLER_LINES = 4, 7


def card_pdf(page: CardPage, *, printed_at: str) -> bytes:
    """The file. Raises NotRendered, and MissingGlyph where a text cannot be drawn."""
    with complaints() as heard:
        pdf = bytes(laid_out(page, printed_at=printed_at).write_pdf())
    refuse_complaints(heard)
    return pdf


def laid_out(page: CardPage, *, printed_at: str) -> Document:
    """The roomiest setting that fits one page; nights that do not fit stand on the phone page, and the card says so."""
    for setting in _likely(page):
        document = _laid_out(page, printed_at, *setting)
        if len(document.pages) == 1:
            break
    return document


def _likely(page: CardPage) -> Sequence[tuple[str, int, int]]:
    """Two languages take twice the lines: the settings that never fit them are not tried."""
    lines = min(len(page.nights), MOST_ROWS) * (2 if page.is_in_two_languages else 1)
    return SETTINGS if lines <= ROOMY_LINES else SETTINGS[1:] if lines <= FULLER_LINES else SETTINGS[2:]


def _laid_out(page: CardPage, printed_at: str, size: str, height: int, rows: int) -> Document:
    context: dict[str, Any] = {
        "page": page, "nights": page.nights[:rows], "is_longer": len(page.nights) > rows, "size": size,
        "plan": page.paper_plan(height), "printed_at": printed_at,
        "steps": [page.steps[start : start + 3] for start in range(0, len(page.steps), 3)],
    }  # fmt: skip
    html = render_to_string("cabcard/paper.html", context).translate(NARROW_SPACES)
    document = HTML(
        string=html, url_fetcher=RecordFetcher(style_and_faces("paper.css", "cabcard/paper.css")), base_url="rec:"
    )
    return document.render(font_config=FontConfiguration())
