"""The page without data that opens without a network, and the files it needs: fetched whole for each version."""

from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from pathlib import Path

from django.conf import settings
from django.templatetags.static import static
from django.urls import reverse

# What the pages of a walk-round and the shell load; the setting-up desk and the printed record stay online.
FOLDERS = ("css", "js", "fonts", "vendor")
ENDINGS = {".css", ".js", ".woff2"}
SINGLE = ("favicon.svg", "icons.svg")
DESK_ONLY = ("css/admin.css", "css/briefing.css")
STATIC = Path(settings.BASE_DIR) / "static"
TEMPLATES = Path(settings.BASE_DIR) / "templates" / "tablet"


def asset_names() -> list[str]:
    """Of the files in static/, those that are kept on a tablet, in a fixed order."""
    found = (path for folder in FOLDERS for path in (STATIC / folder).rglob("*") if path.suffix in ENDINGS)
    names = [path.relative_to(STATIC).as_posix() for path in found]
    return sorted(name for name in names if name not in DESK_ONLY) + list(SINGLE)


@cache
def shell_assets() -> tuple[str, ...]:
    """Addresses, the shell's first; hashed names in production."""
    return reverse("shell"), reverse("manifest"), *(static(name) for name in asset_names())


@cache
def shell_version() -> str:
    """Changes with every byte of what is kept: addresses alone say nothing where names are not hashed."""
    hashed = sha256()
    for part in (*(address.encode() for address in shell_assets()), *_contents()):
        hashed.update(len(part).to_bytes(8) + part)
    return hashed.hexdigest()[:16]


def _contents() -> Iterator[bytes]:
    yield from ((STATIC / name).read_bytes() for name in asset_names())
    yield from (path.read_bytes() for path in sorted(TEMPLATES.rglob("*")) if path.is_file())
