"""HEIF (ISO/IEC 23008-12) in the boxes of ISO/IEC 14496-12.

Items are found by their offset in the file, so nothing is moved: metadata are overwritten where they stand.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from shared.photos.stripping.malformed import Malformed

KEPT_BOXES = {b"ftyp", b"meta", b"mdat", b"free", b"skip"}
PICTURE_ITEMS = {b"hvc1", b"hev1", b"lhv1", b"grid", b"iden", b"iovl", b"tmap"}
IN_FILE, IN_META = 0, 1
OFFSET_TO_TIFF = b"\0\0\0\6"
NOTHING_TO_SAY = b"Exif\0\0MM\0*\0\0\0\x08\0\0\0\0\0\0"


@dataclass(frozen=True, slots=True)
class Box:
    """Positions in the file: of the box, of its content, and after its end."""

    kind: bytes
    start: int
    content: int
    end: int


@dataclass(slots=True)
class Reader:
    """Big-endian numbers, one after the other."""

    data: bytes
    position: int

    def number(self, size: int) -> int:
        self.position += size
        if self.position > len(self.data):
            raise Malformed("A number goes beyond the file.")
        return int.from_bytes(self.data[self.position - size : self.position])


@dataclass(frozen=True, slots=True)
class Item:
    """Where the bytes of an item are: (offset, length) in the file, or in the data of the meta box."""

    id: int
    method: int
    extents: list[tuple[int, int]]


def strip(data: bytes, exif: bytes) -> bytes:
    """exif is an "Exif" block with its six-byte head, or empty; it is left out where its place is too small.

    Raises Malformed.
    """
    boxes = list(_boxes(data, 0, len(data)))
    clean = bytearray(data[: boxes[-1].end if boxes else 0])
    for box in boxes:
        if box.kind not in KEPT_BOXES:
            clean[box.start + 4 : box.start + 8] = b"free"
            clean[box.content : box.end] = bytes(box.end - box.content)
    meta = _one(boxes, b"meta")
    inside = list(_boxes(data, meta.content + 4, meta.end))
    kinds = _item_kinds(data, _one(inside, b"iinf"))
    for item in _items(data, _one(inside, b"iloc")):
        if kinds.get(item.id) not in PICTURE_ITEMS:
            block = OFFSET_TO_TIFF + (exif or NOTHING_TO_SAY) if kinds.get(item.id) == b"Exif" else b""
            _overwrite(clean, _places(item, inside), block)
    return bytes(clean)


def _boxes(data: bytes, position: int, end: int) -> Iterator[Box]:
    """The boxes one after the other; what is no box, or goes beyond the end, is not a part of the picture."""
    while position + 8 <= end:
        reader = Reader(data, position)
        size, kind = reader.number(4), reader.number(4).to_bytes(4)
        if size == 1 and position + 16 <= end:
            size = reader.number(8)
        if size == 0:
            size = end - position
        if size < reader.position - position or position + size > end:
            return
        yield Box(kind, position, reader.position, position + size)
        position += size


def _one(boxes: list[Box], kind: bytes) -> Box:
    found = [box for box in boxes if box.kind == kind]
    if len(found) != 1:
        raise Malformed(f"{len(found)} boxes of kind {kind.decode()}.")
    return found[0]


def _item_kinds(data: bytes, iinf: Box) -> dict[int, bytes]:
    """The type of each item by its number."""
    first = iinf.content + (6 if data[iinf.content] == 0 else 8)
    kinds = {}
    for entry in _boxes(data, first, iinf.end):
        version = data[entry.content]
        if version not in {2, 3}:
            raise Malformed("An item without a type.")
        reader = Reader(data, entry.content + 4)
        number = reader.number(2 if version == 2 else 4)
        reader.number(2)
        kinds[number] = reader.number(4).to_bytes(4)
    return kinds


def _items(data: bytes, iloc: Box) -> Iterator[Item]:
    version = data[iloc.content]
    reader = Reader(data, iloc.content + 4)
    sizes = reader.number(2)
    offset, length, base, index = sizes >> 12, sizes >> 8 & 15, sizes >> 4 & 15, sizes & 15 if version else 0
    if not offset + length:
        raise Malformed("Items without a place.")  # they would also take no bytes to list without end
    wide = 2 if version < 2 else 4
    for _ in range(reader.number(wide)):
        number = reader.number(wide)
        method = reader.number(2) & 15 if version else IN_FILE
        reader.number(2)
        start = reader.number(base)
        extents = []
        for _ in range(reader.number(2)):
            reader.number(index)
            extents.append((start + reader.number(offset), reader.number(length)))
        yield Item(number, method, extents)


def _places(item: Item, inside: list[Box]) -> list[tuple[int, int]]:
    """The extents as offsets in the file."""
    if item.method == IN_FILE:
        return item.extents
    if item.method != IN_META:
        raise Malformed("Metadata within another item.")
    start = _one(inside, b"idat").content
    return [(start + offset, length) for offset, length in item.extents]


def _overwrite(clean: bytearray, places: list[tuple[int, int]], block: bytes) -> None:
    for offset, length in places:
        if offset + length > len(clean):
            raise Malformed("An item goes beyond the file.")
        fits = block if len(block) <= length else b""
        clean[offset : offset + length] = fits.ljust(length, b"\0")
        block = b""
