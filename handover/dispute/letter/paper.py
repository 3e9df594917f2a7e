"""The letter as a PDF. Nothing is fetched but its style sheet, the faces and the two photos."""

from collections.abc import Mapping

from django.template.loader import render_to_string
from weasyprint import HTML
from weasyprint.text.fonts import FontConfiguration

from handover.dispute.letter.writing import Facts, bodies
from handover.record.faces import style_and_faces
from handover.record.printable import printable
from handover.record.render import NARROW_SPACES, RecordFetcher, complaints, refuse_complaints
from shared.canonical import sha256_hex
from shared.clock import local
from shared.files.store import read


def letter_pdf(facts: Facts) -> bytes:
    """The same decision gives the same bytes. Raises NotRendered, MissingGlyph, and what reading a photo raises."""
    context = {
        "facts": facts, "bodies": bodies(facts), "rental": facts.rental, "dispute": facts.decision.dispute,
        "words": printable(facts.decision.dispute.words), "why": printable(facts.decision.words),
        "at": local(facts.decision.at, facts.rental.branch.zone),
    }  # fmt: skip
    html = render_to_string("dispute/letter.html", context).translate(NARROW_SPACES)
    return printed(html, {f"rec:photo/{photo.pk}": (read(photo.display), "image/jpeg") for photo in facts.photos})


def printed(html: str, parts: Mapping[str, tuple[bytes, str]]) -> bytes:
    """A page of a dispute's papers as PDF/A-3 with its tags. Raises NotRendered."""
    with complaints() as heard:
        document = HTML(
            string=html,
            url_fetcher=RecordFetcher({**style_and_faces("dispute.css", "dispute/paper.css"), **parts}),
            base_url="rec:",
        )
        pdf = document.write_pdf(
            pdf_variant="pdf/a-3a", pdf_identifier=bytes.fromhex(sha256_hex(html.encode()))[:16],
            font_config=FontConfiguration(),
        )  # fmt: skip
    refuse_complaints(heard)
    return bytes(pdf)
