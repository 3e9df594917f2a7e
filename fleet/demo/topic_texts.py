"""The demo's Topics in the other languages: drafts, as nobody has approved them yet.

`content/topics_<language>.json` holds title and text by code, with the places for figures that the English has.
"""

import json
from decimal import Decimal
from pathlib import Path

from babel.numbers import format_decimal

from fleet.languages import TRANSLATED, Language
from fleet.models import Layout, Topic, TopicText

CONTENT = Path(__file__).parent / "content"
OR = {"de": "oder", "fr": "ou", "es": "o", "nl": "of", "ar": "أو"}
METRES = {"ar": "م"}
KILOGRAMS = {"ar": "كغ"}


def load_topic_texts(layout: Layout, *, emergency: str) -> None:
    """Every Topic of the layout in every language; what was approved stays so while neither text changes."""
    topics = {topic.code: topic for topic in Topic.objects.filter(station__layout=layout)}
    for language in TRANSLATED:
        figures = figures_in(language, layout, emergency)
        for code, words in translations(language).items():
            if code in topics:
                said = {"title": words["title"], "text": words["text"].format(**figures)}
                TopicText.objects.update_or_create(topic=topics[code], language=language.code, defaults=said)


def translations(language: Language) -> dict[str, dict[str, str]]:
    """Title and text by the code of the Topic, places for figures unfilled."""
    path = CONTENT / f"topics_{language.code}.json"
    rows: dict[str, dict[str, str]] = json.loads(path.read_text(encoding="utf-8"))
    return rows


def figures_in(language: Language, layout: Layout, emergency: str) -> dict[str, str]:
    """As the language writes them: 2,85 m in German; `emergency` comes as "999 or 112"."""
    mass = f"{layout.max_mass_kg:,}".replace(",", "\N{NARROW NO-BREAK SPACE}")
    return {
        "height": _metres(layout.height_mm, language),
        "length": _metres(layout.length_mm, language),
        "width": _metres(layout.width_mm, language),
        "max_mass": f"{mass} {KILOGRAMS.get(language.code, 'kg')}",
        "belted_seats": str(layout.belted_seats),
        "emergency": emergency.replace(" or ", f" {OR[language.code]} "),
    }


def _metres(millimetres: int, language: Language) -> str:
    """To the centimetre, cut off, as the English says it."""
    metres = Decimal(millimetres // 10) / 100
    return f"{format_decimal(metres, '0.00', locale=language.code)} {METRES.get(language.code, 'm')}"
