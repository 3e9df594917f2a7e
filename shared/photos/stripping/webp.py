"""WebP (RFC 9649): a RIFF container of chunks."""

from collections.abc import Iterator

from shared.photos.stripping.malformed import Malformed

EXIF_HEAD = b"Exif\0\0"
EXIF_FLAG, XMP_FLAG = 0x08, 0x04
KEPT = {b"VP8X", b"VP8 ", b"VP8L", b"ALPH", b"ANIM", b"ANMF", b"ICCP"}


def strip(data: bytes, exif: bytes) -> bytes:
    """exif is an "Exif" block with its six-byte head, or empty. Raises Malformed."""
    chunks = [(kind, content) for kind, content in _chunks(data) if kind in KEPT]
    # Only the extended form may carry an exif block; the simple form has none to begin with.
    if exif and any(kind == b"VP8X" for kind, _ in chunks):
        chunks.append((b"EXIF", exif.removeprefix(EXIF_HEAD)))
    has_exif = chunks[-1:] and chunks[-1][0] == b"EXIF"
    body = b"".join(_chunk(kind, _flagged(content, exif=bool(has_exif)) if kind == b"VP8X" else content)
                    for kind, content in chunks)  # fmt: skip
    return b"RIFF" + (len(body) + 4).to_bytes(4, "little") + b"WEBP" + body


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Type and content of each chunk within the container; what hangs on after it is left."""
    position, end = 12, 8 + int.from_bytes(data[4:8], "little")
    if end > len(data):
        raise Malformed("The container goes beyond the file.")
    while position + 8 <= end:
        size = int.from_bytes(data[position + 4 : position + 8], "little")
        if position + 8 + size > end:
            raise Malformed("A chunk goes beyond the container.")
        yield data[position : position + 4], data[position + 8 : position + 8 + size]
        position += 8 + size + size % 2


def _chunk(kind: bytes, content: bytes) -> bytes:
    return kind + len(content).to_bytes(4, "little") + content + b"\0" * (len(content) % 2)


def _flagged(content: bytes, *, exif: bool) -> bytes:
    """The head of the extended form, saying which kinds of metadata follow."""
    if not content:
        raise Malformed("The head of the extended form is empty.")
    flags = content[0] & ~(EXIF_FLAG | XMP_FLAG) | (EXIF_FLAG if exif else 0)
    return bytes([flags]) + content[1:]
