"""The dispute on paper, in the house language: what was claimed, found, computed and decided."""

from django.template.loader import render_to_string
from django.utils import timezone

from handover.dispute.letter.paper import printed
from handover.dispute.page import DisputePage
from handover.record.printable import printable
from shared.clock import zone_of
from shared.files.store import read
from shared.phrasebook import in_house_language


@in_house_language
def summary_pdf(page: DisputePage) -> bytes:
    """Raises NotRendered, and MissingGlyph where a text cannot be drawn."""
    photos = [photo for photo in (page.shown.out, page.shown.back) if photo]
    context = {
        "page": page, "dispute": page.dispute, "rental": page.rental, "words": printable(page.dispute.words),
        "why": printable(page.decision.words) if page.decision else "", "photos": photos,
    }  # fmt: skip
    with timezone.override(zone_of(page.rental.branch.zone)):
        html = render_to_string("dispute/summary.html", context)
    parts = {f"rec:photo/{photo.pk}": (read(photo.display), "image/jpeg") for photo in photos}
    return printed(html, parts)
