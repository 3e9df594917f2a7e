"""Whether a translation names the figures of the English: a number that was lost or turned is seen before approval."""

import re
from collections import Counter

# Groups and decimals are written differently in each language: 3 500, 3.500, 2,85. Digits are compared without marks.
FIGURE = re.compile("[0-9]+(?:[.,\u00a0\u202f ][0-9]+)*")


def figures_of(text: str) -> Counter[str]:
    return Counter(re.sub("[^0-9]", "", figure) for figure in FIGURE.findall(text))


def figures_apart(english: str, translated: str) -> tuple[list[str], list[str]]:
    """(missing, added): digits of the English that the other text lacks, and those that only it has."""
    one, other = figures_of(english), figures_of(translated)
    return sorted((one - other).elements()), sorted((other - one).elements())
