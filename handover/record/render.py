"""A Record as a PDF/A-3 file, its machine-readable form attached. The same content gives the same bytes.

Nothing is fetched but what is handed in: the style sheet, the faces and the photos of this Record.
"""

import logging
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from django.template.loader import render_to_string
from weasyprint import HTML, Attachment
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from handover.record.attachment import NAME
from handover.record.content import Photo, RecordContent
from handover.record.faces import style_and_faces
from handover.record.page import page_context
from handover.record.photo_rows import photo_source
from shared.canonical import sha256_hex

NO_BREAK_SPACE = "\u00a0"
# The faces have no narrow spaces, and a face of another script would widen them.
NARROW_SPACES = str.maketrans({"\u202f": NO_BREAK_SPACE, "\u2009": " ", "\u2007": NO_BREAK_SPACE})
KINDS_OF_IMAGE = {b"\xff\xd8\xff": "image/jpeg", b"\x89PN": "image/png"}
INSTALL_FACES = "Debian's packages fonts-noto-core and fonts-noto-cjk have the faces of most scripts."


class NotRendered(ValueError):
    """Why no Record could be made of this content: a sentence."""


class MissingGlyph(NotRendered):
    """A text that no installed face can draw; `texts` are the characters."""

    def __init__(self, texts: list[str]) -> None:
        self.texts = texts
        super().__init__(f"No face on this machine can draw {', '.join(texts)}. {INSTALL_FACES}")


def render(content: RecordContent, photos: Mapping[str, bytes], *, attachment: bytes, plan: str = "") -> bytes:
    """The PDF, not yet sealed.

    `photos` has the JPEG or PNG to print under each photo's sha256, upright, without orientation; `attachment`
    is record.json, byte for byte; `plan` the inner markup of a drawing of 360 by 664 units.
    Raises NotRendered, and MissingGlyph where a text cannot be drawn.
    """
    html = render_to_string("record/record.html", page_context(content, plan=plan)).translate(NARROW_SPACES)
    fetcher = RecordFetcher({**style_and_faces("record.css", "record/record.css"), **_images(content.photos(), photos)})
    with complaints() as heard:
        pdf = _written(html, fetcher, content, attachment)
    refuse_complaints(heard)
    return pdf


def _written(html: str, fetcher: "RecordFetcher", content: RecordContent, attachment: bytes) -> bytes:
    document = HTML(string=html, url_fetcher=fetcher, base_url="rec:")
    made_at = content.record.made_at
    record = Attachment(
        string=attachment,
        name=NAME,
        description="The data of this Record",
        relationship="Source",
        created=made_at,
        modified=made_at,
    )
    try:
        pdf = document.write_pdf(
            pdf_variant="pdf/a-3a",
            pdf_identifier=identifier(content),
            attachments=[record],
            font_config=FontConfiguration(),
        )
    except FatalURLFetchingError as fault:  # derives from BaseException: it would end the worker, not the task
        raise NotRendered(f"A part of the Record could not be read: {fault}") from fault
    return bytes(pdf)


def identifier(content: RecordContent) -> bytes:
    """16 bytes that are the same for the same Record, in place of WeasyPrint's random ones."""
    heading = content.record
    named = f"{content.operator.name}|{heading.number}|{heading.kind}|{heading.version}|{heading.code}"
    return bytes.fromhex(sha256_hex(named.encode()))[:16]


def _images(printed: list[Photo], photos: Mapping[str, bytes]) -> dict[str, tuple[bytes, str]]:
    return {photo_source(photo): _image(photo, photos) for photo in printed if photo.printed_sha256}


def _image(photo: Photo, photos: Mapping[str, bytes]) -> tuple[bytes, str]:
    data = photos.get(photo.sha256)
    if data is None:
        raise NotRendered(f"Photo {photo.number} ({photo.view}) is to be printed but was not handed in.")
    if sha256_hex(data) != photo.printed_sha256:
        raise NotRendered(f"Photo {photo.number} ({photo.view}) is not the one whose digest stands in the record.")
    kind = KINDS_OF_IMAGE.get(data[:3])
    if kind is None:
        raise NotRendered(f"Photo {photo.number} ({photo.view}) is neither a JPEG nor a PNG.")
    return data, kind


class RecordFetcher(URLFetcher):  # type: ignore[misc]
    """Serves the parts of one Record by name and refuses every other address, whatever its scheme."""

    def __init__(self, parts: Mapping[str, tuple[bytes, str]]) -> None:
        super().__init__(allowed_protocols=("rec",), allow_redirects=False)
        self.parts = parts

    def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
        if url not in self.parts:
            raise ValueError(f"{url[:80]} is not a part of this Record.")
        data, kind = self.parts[url]
        return URLFetcherResponse(url, data, {"Content-Type": kind})


@contextmanager
def complaints() -> Iterator[list[str]]:
    """What WeasyPrint logs in this thread while it writes: holes in a Record that it would otherwise leave quietly."""
    heard: list[str] = []
    handler = _Listener(threading.get_ident(), heard)
    logger = logging.getLogger("weasyprint")
    if not logger.isEnabledFor(logging.WARNING):
        raise NotRendered("WeasyPrint's warnings are switched off, so a text that no face can draw would go unnoticed.")
    logger.addHandler(handler)
    try:
        yield heard
    finally:
        logger.removeHandler(handler)


class _Listener(logging.Handler):
    def __init__(self, thread: int, heard: list[str]) -> None:
        super().__init__(logging.WARNING)
        self.thread, self.heard = thread, heard

    def emit(self, record: logging.LogRecord) -> None:
        if record.thread == self.thread:
            self.heard.append(record.getMessage())


def refuse_complaints(heard: list[str]) -> None:
    missing = [line.rpartition("fonts: ")[2] for line in heard if line.startswith(".notdef")]
    if missing:
        raise MissingGlyph(list(dict.fromkeys(missing)))
    if heard:
        raise NotRendered(f"The Record would be printed with a fault: {heard[0][:200]}")
