"""The words that a person sees or hears on a page, and which of them came through the catalogs."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any

from django.apps import apps
from django.db.models import Model

from tests.pseudo import CLOSE, OPEN

SAID_ALOUD = ("aria-label", "alt", "title", "placeholder", "aria-valuetext", "aria-description")
# Commands are typed as they stand, in every language.
SILENT = {"script", "style", "pre"}
BRACKETS = re.compile(f"({re.escape(OPEN.strip())}|{re.escape(CLOSE.strip())})")
ROOMS = ("shared", "fleet", "consumables", "handover")
# Figures, amounts, days, digests, addresses, codes: no words of a language.
NO_WORDS = re.compile(
    r"""\b(?:Mon|Tues|Wednes|Thurs|Fri|Satur|Sun)day\b | \b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun)\b
    | \b(?:January|February|March|April|May|June|July|August|September|October|November|December)\b
    | \b(?:Jan|Feb|Mar|Apr|Jun|Jul|Aug|Sept?|Oct|Nov|Dec)\b
    | \b[A-Z]{2,3}\$ | \b(?:GBP|CAD|EUR)\b
    | \b(?:SHA-256|CSV|JSON|PDF|PIN|UTC|VIN|VAT|AUS|px|min|kWh|Ah|km|kg|lb|mm|cm|mi|bar|kPa|psi|MB|KB)\b
    | [0-9a-f]{8,}
    | https?://\S+ | \S+\.pdf | Levelpeg | English | Deutsch | Français | Español | Nederlands | العربية
    | [\W\d_¼½¾]+ | \b[A-Za-z]\b""",
    re.VERBOSE,
)

READ_BY_PROGRAMS = r"value|min|max|step|data-[\w-]+|[xy][12]?|[cr][xy]?|width|height|d|points|viewBox"

EMPTY = {
    "input",
    "img",
    "link",
    "meta",
    "br",
    "hr",
    "use",
    "path",
    "rect",
    "circle",
    "line",
    "polygon",
    "col",
    "source",
}


class Heard(HTMLParser):
    """Texts in the order of the page, each with the tag it stands in. What is in a language of its own is left out."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: list[tuple[str, str]] = []
        self.tags: list[tuple[str, bool]] = []

    @property
    def is_foreign(self) -> bool:
        return any(foreign for _tag, foreign in self.tags)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        foreign = tag != "html" and bool({"lang", "data-language"} & given.keys())
        if not foreign and not self.is_foreign:
            names = [*SAID_ALOUD, *(["value"] if tag == "input" and given.get("type") == "submit" else [])]
            self.texts += [(f"{tag} {name}", str(given[name])) for name in names if given.get(name)]
        if tag not in EMPTY:
            self.tags.append((tag, foreign))

    def handle_endtag(self, tag: str) -> None:
        while self.tags and self.tags.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        tags = [tag for tag, _foreign in self.tags]
        if data.strip() and not SILENT & set(tags) and not self.is_foreign:
            self.texts.append((tags[-1] if tags else "", " ".join(data.split())))


def outside_brackets(html: str, known: str) -> list[str]:
    """Texts with words that are neither translated nor data; `known` is all that the database says."""
    heard, found, depth = Heard(), [], 0
    heard.feed(html)
    for tag, text in heard.texts:
        left, after = _outside(text, 0 if " " in tag else depth)
        depth = depth if " " in tag else after
        unknown = [word for word in NO_WORDS.sub(" ", left).split() if word.lower() not in known]
        if unknown:
            found.append(f"{tag}: {text!r} has {unknown}")
    return found


def _outside(text: str, depth: int) -> tuple[str, int]:
    """What is outside all brackets: a translated sentence may hold another, and a line may break inside one."""
    left = []
    for piece in BRACKETS.split(text):
        if piece == OPEN.strip():
            depth += 1
        elif piece == CLOSE.strip():
            depth -= 1
        elif not depth:
            left.append(piece)
    return " ".join(left), depth


def commas_for_programs(html: str) -> list[str]:
    """Figures that a script or a drawing reads, written as people of the page's language write them."""
    return re.findall(rf"\s((?:{READ_BY_PROGRAMS})=\"-?\d+,\d+\")", html)


def what_the_database_says() -> str:
    """Everything that people and the demo wrote, in small letters."""
    words = {
        str(part).lower() for room in ROOMS for model in apps.get_app_config(room).get_models() for part in _of(model)
    }
    return " ".join(words)


def _of(model: type[Model]) -> Iterator[str]:
    for row in model._default_manager.values():
        for value in row.values():
            yield from _strings(value)


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for inside in value.values():
            yield from _strings(inside)
    elif isinstance(value, list | tuple):
        for inside in value:
            yield from _strings(inside)
