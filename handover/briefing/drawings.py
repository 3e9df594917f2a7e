"""Which Topic has a small drawing: one file a code in templates/parts/topics, drawn for this product."""

from functools import cache
from pathlib import Path

from django.conf import settings

FOLDER = Path("parts/topics")


def drawing_of(code: str) -> str:
    """The template of the drawing, empty for a Topic without one: the words say it all."""
    return str(FOLDER / f"{code}.svg") if code in drawn() else ""


@cache
def drawn() -> frozenset[str]:
    return frozenset(path.stem for path in (Path(settings.BASE_DIR) / "templates" / FOLDER).glob("*.svg"))
