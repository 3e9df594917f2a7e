"""What stands around a Topic, in the customer's own language: on the tablet and nowhere else, so beside no other text.

The names of these keys: `understand` follows the customer's name on the button; `draft` and `missing` are said of the
text above them; `safety` marks what is confirmed one by one.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Phrases:
    understand: str
    draft: str
    missing: str
    safety: str


PHRASES = {
    "en": Phrases(
        understand="I understand",
        draft="Draft translation, not yet approved; the English text counts.",
        missing="Not translated yet; the English text counts.",
        safety="Safety",
    ),
    "de": Phrases(
        understand="Ich habe es verstanden",
        draft="Entwurf einer Übersetzung, noch nicht freigegeben; es gilt der englische Text.",
        missing="Noch nicht übersetzt; es gilt der englische Text.",
        safety="Sicherheit",
    ),
    "fr": Phrases(
        understand="J’ai compris",
        draft="Projet de traduction, pas encore approuvé ; le texte anglais fait foi.",
        missing="Pas encore traduit ; le texte anglais fait foi.",
        safety="Sécurité",
    ),
    "es": Phrases(
        understand="Lo he entendido",
        draft="Borrador de traducción, aún sin aprobar; vale el texto inglés.",
        missing="Aún sin traducir; vale el texto inglés.",
        safety="Seguridad",
    ),
    "nl": Phrases(
        understand="Ik heb het begrepen",
        draft="Conceptvertaling, nog niet goedgekeurd; de Engelse tekst geldt.",
        missing="Nog niet vertaald; de Engelse tekst geldt.",
        safety="Veiligheid",
    ),
    "ar": Phrases(
        understand="فهمت ذلك",
        draft="مسودة ترجمة لم تُعتمد بعد؛ النص الإنجليزي هو المعتمد.",
        missing="لم يُترجم بعد؛ النص الإنجليزي هو المعتمد.",
        safety="السلامة",
    ),
}
