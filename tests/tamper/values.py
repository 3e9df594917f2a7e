"""Another value in place of one: as the database keeps it, and never one that means the same."""

import json
import random
from typing import Any

PLAIN = {"datetime": "2026-01-01 00:00:00", "date": "2026-01-01", "char(32)": "0" * 32, "bool": 1, "decimal": 7}


def another(value: Any, declared: str, rng: random.Random) -> Any:
    """`declared` is the type of the column in lower case."""
    if value is None:
        return _in_place_of_nothing(declared)
    if isinstance(value, bytes):
        return _flipped(value, rng)
    if isinstance(value, int):
        return 1 - value if declared == "bool" else max(0, value + rng.choice([-1, 1, 7])) if value else value + 1
    if isinstance(value, float):
        # By one at least: of a decimal SQLite keeps places that its column does not have and nobody ever reads.
        return value + rng.choice([-1.0, 1.0, 7.25])
    return _other_text(value, declared, rng)


def _in_place_of_nothing(declared: str) -> Any:
    for kind, plain in PLAIN.items():
        if declared.startswith(kind):
            return plain
    return 7 if "int" in declared else '{"forged": true}' if declared == "text" else "forged"


def _flipped(value: bytes, rng: random.Random) -> bytes:
    if not value:
        return b"\x30\x00"
    at = rng.randrange(len(value))
    return value[:at] + bytes([value[at] ^ 1 << rng.randrange(8)]) + value[at + 1 :]


def _other_text(value: str, declared: str, rng: random.Random) -> str:
    if not value:
        return "forged"
    if declared.startswith(("datetime", "date", "decimal", "char(32)")):
        return _other_digit(value, rng)
    while True:
        at = rng.randrange(len(value))
        changed = value[:at] + rng.choice("abcxyz0189 ") + value[at + 1 :]
        if changed != value and not _mean_the_same(changed, value):
            return changed


def _other_digit(value: str, rng: random.Random) -> str:
    """A digit of the day, the seconds or the id: it stays something that can be read."""
    digits = [at for at, letter in enumerate(value) if letter.isdigit() and at not in {5, 8, 11, 14, 17}]
    at = rng.choice(digits)
    return value[:at] + str((int(value[at]) + rng.randint(1, 9)) % 10) + value[at + 1 :]


def _mean_the_same(one: str, other: str) -> bool:
    """Two ways of writing one JSON value, in a column that keeps a value and not its text."""
    try:
        return bool(json.loads(one) == json.loads(other))
    except ValueError:
        return False
