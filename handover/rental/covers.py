"""What an Extra covers, in words. Pure."""

from collections.abc import Iterator, Mapping
from typing import Any

MEASURED = {
    "fuel_tanks": ("1 tank of fuel", "{} tanks of fuel"),
    "fuel_litres": ("1 L of fuel", "{} L of fuel"),
    "gas_cylinders": ("1 gas cylinder", "{} gas cylinders"),
    "gas_kg": ("1 kg of gas", "{} kg of gas"),
    "late_minutes": ("1 minute late", "{} minutes late"),
    "late_blocks": ("1 late block", "{} late blocks"),
    "distance_km": ("1 km more", "{} km more"),
    "distance_mi": ("1 mi more", "{} mi more"),
}
WHOLE = {"after_hours": "return after hours", "grey": "waste water", "toilet": "toilet cassette"}


def covers_words(covers: Mapping[str, Any]) -> str:
    """20 L of fuel; 1 gas cylinder; cleaning inside up to standard. Empty when nothing is stated."""
    return "; ".join(_parts(covers))


def _parts(covers: Mapping[str, Any]) -> Iterator[str]:
    limits = covers.get("limits", {})
    for name, (one, many) in MEASURED.items():
        if limits.get(name) is not None:
            yield one if str(limits[name]) == "1" else many.format(limits[name])
    yield from (words for name, words in WHOLE.items() if limits.get(name))
    yield from (kit.replace("_", " ") for kit in limits.get("kits", []))
    yield from (f"cleaning, {zone}, up to {tier}" for zone, tier in covers.get("cleaning_up_to", {}).items())
    if covers.get("cleaning_causes"):
        yield f"cleaning after {', '.join(covers['cleaning_causes'])}"
    if covers.get("excess"):
        yield "lower excess"
