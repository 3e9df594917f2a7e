"""The languages a briefing is given in, each by its own name. English is what the yard writes; the others follow it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Language:
    """`code` is a BCP 47 tag; `direction` ltr or rtl, as HTML says it."""

    code: str
    name: str
    direction: str = "ltr"


ENGLISH = Language("en", "English")
BRIEFED = (
    ENGLISH,
    Language("de", "Deutsch"),
    Language("fr", "Français"),
    Language("es", "Español"),
    Language("nl", "Nederlands"),
    Language("ar", "العربية", "rtl"),
)
BY_CODE = {language.code: language for language in BRIEFED}
TRANSLATED = tuple(language for language in BRIEFED if language is not ENGLISH)


def briefed_in(tag: str) -> Language:
    """The language of a tag such as de-CH, English where none of ours is meant."""
    return BY_CODE.get(tag.replace("_", "-").lower().partition("-")[0], ENGLISH)
