"""Addresses of the values of a rate card: fuel.price_per_litre, damage.matrix.bumper.scuff.150. Pure.

A point inside a name is written with a backslash before it, as in kits.set\\.2.kit_price.
"""

import re
from collections.abc import Iterable

_PIECE = re.compile(r"(?:[^.\\]|\\.)+")
_WHOLE = re.compile(r"(?:[^.\\]|\\.)+(?:\.(?:[^.\\]|\\.)+)*", re.DOTALL)


def join(names: Iterable[str]) -> str:
    return ".".join(re.sub(r"([.\\])", r"\\\1", name) for name in names)


def split(path: str) -> list[str]:
    """The names of a path; none when it is not one."""
    if not _WHOLE.fullmatch(path):
        return []
    return [re.sub(r"\\(.)", r"\1", piece) for piece in _PIECE.findall(path)]
