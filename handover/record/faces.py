"""The faces that papers are set in, unpacked once for the process; WeasyPrint would unpack them anew for each paper."""

from collections.abc import Mapping
from functools import cache
from io import BytesIO
from pathlib import Path

from django.conf import settings
from fontTools.ttLib.woff2 import decompress  # type: ignore[import-untyped]


def served_faces() -> Mapping[str, tuple[bytes, str]]:
    """Bytes and type of each face under the address by which a style sheet names it."""
    return _unpacked(Path(settings.BASE_DIR) / "static" / "print" / "fonts")


@cache
def _unpacked(folder: Path) -> Mapping[str, tuple[bytes, str]]:
    return {f"rec:font/{face.name}": (_plain(face.read_bytes()), "font/ttf") for face in sorted(folder.glob("*.woff2"))}


def _plain(packed: bytes) -> bytes:
    plain = BytesIO()
    decompress(BytesIO(packed), plain)
    return plain.getvalue()
