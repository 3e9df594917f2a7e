"""What papers are set in: a style sheet, and the faces, unpacked once for the process.

WeasyPrint would unpack them anew for each paper.
"""

from collections.abc import Mapping
from functools import cache
from io import BytesIO
from pathlib import Path

from django.conf import settings
from fontTools.ttLib.woff2 import decompress  # type: ignore[import-untyped]


def style_and_faces(name: str, sheet: str) -> dict[str, tuple[bytes, str]]:
    """Bytes and type by address: a style sheet of templates/ under its name, the faces as it names them."""
    base = Path(settings.BASE_DIR)
    style = (base / "templates" / sheet).read_bytes()
    return {**_unpacked(base / "static" / "print" / "fonts"), f"rec:style/{name}": (style, "text/css")}


@cache
def _unpacked(folder: Path) -> Mapping[str, tuple[bytes, str]]:
    return {f"rec:font/{face.name}": (_plain(face.read_bytes()), "font/ttf") for face in sorted(folder.glob("*.woff2"))}


def _plain(packed: bytes) -> bytes:
    plain = BytesIO()
    decompress(BytesIO(packed), plain)
    return plain.getvalue()
