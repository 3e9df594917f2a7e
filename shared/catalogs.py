"""The catalogs of the interface: what is found in the code goes into them; what they say is compiled beside them."""

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import DEFAULT_KEYWORDS, extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from django.conf import settings
from django.utils.translation import to_locale
from django.utils.translation.template import templatize

from shared.admin_names import sayable
from shared.phrasebook import known_phrases

ROOMS = ("shared", "fleet", "consumables", "handover")
KEYWORDS = DEFAULT_KEYWORDS | {
    "gettext_lazy": None,
    "gettext_noop": None,
    "ngettext_lazy": (1, 2),
    "pgettext_lazy": ((1, "c"), 2),
    "say": None,
}
SENTENCE_WIDTH = 100
# A record and what is printed with it are in the house language.
UNTRANSLATED = "templates/record/"


def found() -> Catalog:
    """Every text that a page may say: in the code, in the templates, in the phrase book, and the names of fields."""
    catalog = Catalog(fuzzy=False)
    for place, singular, plural, context in [*_in_code(), *_in_templates(), *_in_phrases(), *_of_fields()]:
        catalog.add((singular, plural) if plural else singular, locations=[(place, 1)], context=context)
    return catalog


Message = tuple[str, str, str, str | None]


def _in_code() -> Iterator[Message]:
    for room in ROOMS:
        for path in sorted((settings.BASE_DIR / room).rglob("*.py")):
            if "migrations" not in path.parts:
                yield from _extracted(path.read_bytes(), _place(path))


def _in_templates() -> Iterator[Message]:
    for path in sorted((settings.BASE_DIR / "templates").rglob("*.html")):
        place = _place(path)
        if not place.startswith(UNTRANSLATED):
            plain = templatize(path.read_text(), origin=place)
            # What is no text was made an X each; only the indentation would still confuse a reader of Python.
            yield from _extracted("\n".join(line.lstrip() for line in plain.splitlines()).encode(), place)


def _extracted(source: bytes, place: str) -> Iterator[Message]:
    for _line, words, _notes, context in extract("python", BytesIO(source), keywords=KEYWORDS):
        singular, plural = (*words[:2],) if isinstance(words, tuple) else (words, "")
        if singular:
            yield place, str(singular), str(plural), context


def _in_phrases() -> Iterator[Message]:
    for phrase in known_phrases():
        yield "phrase book", phrase, "", None


def _of_fields() -> Iterator[Message]:
    for table, name in sayable:
        yield f"names of {table}", name, "", None


def _place(path: Path) -> str:
    return path.relative_to(settings.BASE_DIR).as_posix()


def languages() -> list[str]:
    """All but the house's own."""
    return [code for code, _name in settings.LANGUAGES if code != settings.LANGUAGE_CODE]


def path_of(language: str) -> Path:
    return Path(settings.LOCALE_PATHS[0]) / to_locale(language) / "LC_MESSAGES" / "django.po"


def read(language: str) -> Catalog:
    path = path_of(language)
    if not path.exists():
        return Catalog(to_locale(language), fuzzy=False, project="Levelpeg", version="0.1")
    with path.open("rb") as file:
        return read_po(file, locale=to_locale(language))


def updated(language: str, template: Catalog) -> Catalog:
    """The catalog with everything that was found and nothing else; a new text is not guessed from an old one."""
    catalog = read(language)
    template.creation_date = catalog.creation_date
    catalog.update(template, no_fuzzy_matching=True)
    return catalog


def as_po(catalog: Catalog) -> bytes:
    out = BytesIO()
    write_po(out, catalog, width=SENTENCE_WIDTH, sort_output=True, ignore_obsolete=True, include_lineno=False)
    return out.getvalue()


def as_mo(catalog: Catalog) -> bytes:
    out = BytesIO()
    write_mo(out, catalog)
    return out.getvalue()


def untranslated(catalog: Catalog) -> list[str]:
    return [str(message.id) for message in catalog if message.id and (message.fuzzy or not _is_said(message.string))]


def _is_said(string: object) -> bool:
    return all(string) if isinstance(string, list | tuple) else bool(string)
