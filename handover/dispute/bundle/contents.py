"""What goes into the bundle of a dispute, in order, and what of the photos fits."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from asn1crypto import pem
from django.utils.text import slugify

from handover.dispute.bundle.fitting import Form, Weighed, fitted
from handover.dispute.bundle.ledger import ledger_parts
from handover.dispute.bundle.manual import manual
from handover.dispute.bundle.packing import OVERHEAD, Part
from handover.dispute.bundle.photos import SMALL_EDGE, Pictured, pictured, side_by_side
from handover.dispute.bundle.summary import summary_pdf
from handover.dispute.models import Bundle
from handover.dispute.page import DisputePage
from handover.record.keys import trusted_roots
from handover.record.models import Record
from shared.clock import local
from shared.files.store import read

# For manifest and SHA256SUMS, by what one file takes in them.
ROOM_OF_A_ROW = 260


class TooSmallALimit(ValueError):
    """The papers alone, without a single photo, take more than the limit."""


@dataclass(frozen=True, slots=True)
class Contents:
    """`about` goes into the manifest, `left_out` names photos of which only the digest is there."""

    parts: Sequence[Part]
    about: dict[str, Any]
    left_out: Sequence[str]


def contents_of(page: DisputePage, bundle: Bundle) -> Contents:
    """Raises TooSmallALimit, NotRendered, and what reading a kept file raises."""
    papers = [*_papers(page), *_pairs(page)]
    photos = pictured(page.found, page.shown, page.sent)
    taken = sum(len(part.data()) + OVERHEAD + ROOM_OF_A_ROW for part in papers)
    room = bundle.limit_bytes - taken - (len(photos) + 3) * (OVERHEAD + ROOM_OF_A_ROW)
    if room < 0:
        raise TooSmallALimit(
            f"The papers alone take {_megabytes(taken)} and the limit is {_megabytes(bundle.limit_bytes)}. "
            "LEVELPEG_BUNDLE_MB sets it."
        )
    chosen = fitted([photo.weighed() for photo in photos], room)
    pairs = list(zip(photos, chosen, strict=True))
    about = _about(page, bundle, pairs)
    how = Part("HOW-TO-VERIFY.txt", partial(_manual, page, pairs, bundle))
    shown = [
        Part(photo.name(row.form), partial(photo.data, row.form)) for photo, row in pairs if row.form != Form.LEFT_OUT
    ]
    return Contents([how, *papers, *shown], about, [photo.stem for photo, row in pairs if row.form is Form.LEFT_OUT])


def _papers(page: DisputePage) -> Iterator[Part]:
    """Made once and held: they are weighed before they are packed."""
    yield _held("summary.pdf", summary_pdf(page))
    if page.letter and page.letter.is_ready:
        yield Part("letter.pdf", partial(read, page.letter.file))
    for record in Record.objects.filter(rental=page.rental, state=Record.State.READY):
        yield Part(f"records/{page.rental.number}-{record.kind}-{record.version}.pdf", partial(read, record.file))
    for statement in page.rental.statements.all():
        yield _held(f"statements/{statement.version}-inputs.json", statement.inputs.encode())
        yield _held(f"statements/{statement.version}-result.json", statement.result.encode())
    yield from ledger_parts(page.rental.pk)
    if roots := trusted_roots():
        yield _held("ca.pem", b"".join(_pem(root.dump()) for root in roots))


def _held(name: str, data: bytes) -> Part:
    return Part(name, lambda: data)


def _pem(der: bytes) -> bytes:
    armoured: bytes = pem.armor("CERTIFICATE", der)
    return armoured


def _pairs(page: DisputePage) -> Iterator[Part]:
    """Of the view that the line is about, large; of a chargeback every view of both walk-rounds, small."""
    if page.dispute.claimed:
        yield from _every_pair(page)
        return
    out, back = page.shown.out, page.shown.back
    if out and back:
        view = slugify(out.view)[:40] or "view"
        yield Part(f"pairs/{view}-side-by-side.jpg", lambda: side_by_side(read(out.display), read(back.display)))
    if page.shown.pair and page.shown.pair.aligned:
        aligned = page.shown.pair.aligned
        yield Part("pairs/return-as-seen-from-pickup.jpg", partial(read, aligned))


def _every_pair(page: DisputePage) -> Iterator[Part]:
    kept = {photo.pk: photo for photo in page.found.photos}
    for number, pair in enumerate(page.found.pairs, start=1):
        out, back = kept[pair.out_id], kept[pair.now_id]
        name = f"pairs/{number:02}-{slugify(out.view)[:40] or 'view'}-side-by-side.jpg"
        yield Part(name, partial(_beside, out.display, back.display))


def _beside(out: str, back: str) -> bytes:
    return side_by_side(read(out), read(back), SMALL_EDGE)


def _about(page: DisputePage, bundle: Bundle, pairs: Sequence[tuple[Pictured, Weighed]]) -> dict[str, Any]:
    dispute, zone = page.dispute, page.rental.branch.zone
    return {
        "dispute": dispute.number,
        "kind": dispute.kind,
        "rental": page.rental.number,
        "answer_by": dispute.answer_by.isoformat(),
        "made_at": local(bundle.ordered_at, zone).isoformat(timespec="seconds"),
        "limit_bytes": bundle.limit_bytes,
        "made_smaller": [_named(photo, row) for photo, row in pairs if row.form in {Form.DISPLAY, Form.SMALL}],
        "left_out": [_named(photo, row) for photo, row in pairs if row.form is Form.LEFT_OUT],
    }


def _named(photo: Pictured, row: Weighed) -> dict[str, Any]:
    named = {"original": photo.name(Form.ORIGINAL), "original_sha256": photo.sha256, "original_size": row.original}
    return named | ({"instead": photo.name(row.form)} if row.form is not Form.LEFT_OUT else {})


def _manual(page: DisputePage, pairs: Sequence[tuple[Pictured, Weighed]], bundle: Bundle) -> bytes:
    title = f"Dispute {page.dispute.number} of rental {page.rental.number}, to be answered by {page.dispute.answer_by}"
    return manual(title, _limits([row for _, row in pairs], bundle)).encode()


def _limits(chosen: Sequence[Weighed], bundle: Bundle) -> str:
    smaller = sum(row.form in {Form.DISPLAY, Form.SMALL} for row in chosen)
    gone = sum(row.form is Form.LEFT_OUT for row in chosen)
    size = _megabytes(bundle.limit_bytes)
    if not smaller and not gone:
        return f"Limit of size: {size}. Every photo is here as it was kept."
    return (
        f"Limit of size: {size}. So that the file fits, {smaller} photos are smaller copies and {gone} are left out. "
        "manifest.json names each with the SHA-256 of its original, which the operator keeps and sends when asked."
    )


def _megabytes(size: int) -> str:
    return f"{size / 1_000_000:.1f} MB"
