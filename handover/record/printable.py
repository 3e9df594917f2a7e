"""Text as it can be printed: what no reader could see or no face can draw is named instead."""

import re
import unicodedata

LONGEST = 1200
# Pictographs: no outline face has them, and a customer's smile must not cost the Record.
PICTOGRAPHS = re.compile("[\u2600-\u27bf\u2b00-\u2bff\U0001f000-\U0001faff]")
# Skin tones and presentation marks that follow a pictograph and mean nothing without it.
TRAILERS = re.compile("[\ufe0e\ufe0f\u20e3\U0001f3fb-\U0001f3ff\U000e0020-\U000e007f]")
JOINED = re.compile("(?<=\\])\u200d(?=\\[)")
# Overrides of the writing direction can make a line read as something it is not.
DIRECTION = re.compile("[\u200e\u200f\u061c\u202a-\u202e\u2066-\u2069]")
# No face has these; WeasyPrint breaks no line at them.
LINE_ENDS = re.compile("[\u2028\u2029]")
UNSEEN = {"Cc", "Cs", "Co", "Cn"}


def printable(text: str) -> str:
    """The text in NFC, without control characters and direction overrides, pictographs named in brackets.

    Longer than LONGEST characters it is cut, and says so: the whole text is in record.json.
    """
    whole = len(text)
    text = unicodedata.normalize("NFC", text[: LONGEST + 1])
    text = TRAILERS.sub("", DIRECTION.sub("", text))
    text = JOINED.sub("", PICTOGRAPHS.sub(_named, text))
    text = LINE_ENDS.sub("\n", text.replace("\t", " "))
    text = "".join(character for character in text if _can_be_seen(character))
    return (
        f"{text[:LONGEST].rstrip()} … (cut here; all {whole} characters are in record.json)"
        if whole > LONGEST
        else text
    )


def _named(match: re.Match[str]) -> str:
    name = unicodedata.name(match[0], "") or f"sign U+{ord(match[0]):04X}"
    return f"[{name.lower()}]"


def _can_be_seen(character: str) -> bool:
    return character == "\n" or unicodedata.category(character) not in UNSEEN
