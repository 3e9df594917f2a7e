"""What an Extra covers, in words."""

from collections.abc import Iterator, Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

MEASURED = {
    "fuel_tanks": (gettext_noop("1 tank of fuel"), gettext_noop("%(count)s tanks of fuel")),
    "fuel_litres": (gettext_noop("1 L of fuel"), gettext_noop("%(count)s L of fuel")),
    "gas_cylinders": (gettext_noop("1 gas cylinder"), gettext_noop("%(count)s gas cylinders")),
    "gas_kg": (gettext_noop("1 kg of gas"), gettext_noop("%(count)s kg of gas")),
    "late_minutes": (gettext_noop("1 minute late"), gettext_noop("%(count)s minutes late")),
    "late_blocks": (gettext_noop("1 late block"), gettext_noop("%(count)s late blocks")),
    "distance_km": (gettext_noop("1 km more"), gettext_noop("%(count)s km more")),
    "distance_mi": (gettext_noop("1 mi more"), gettext_noop("%(count)s mi more")),
}
WHOLE = {
    "after_hours": gettext_noop("return after hours"),
    "grey": gettext_noop("waste water"),
    "toilet": gettext_noop("toilet cassette"),
}


def covers_words(covers: Mapping[str, Any]) -> str:
    """20 L of fuel; 1 gas cylinder; cleaning inside up to standard. Empty when nothing is stated."""
    return "; ".join(_parts(covers))


def _parts(covers: Mapping[str, Any]) -> Iterator[str]:
    limits = covers.get("limits", {})
    for name, (one, many) in MEASURED.items():
        if limits.get(name) is not None:
            yield _(one) if str(limits[name]) == "1" else _(many) % {"count": limits[name]}
    yield from (_(words) for name, words in WHOLE.items() if limits.get(name))
    yield from (kit.replace("_", " ") for kit in limits.get("kits", []))
    yield from (
        _("cleaning, %(zone)s, up to %(tier)s") % {"zone": _(zone), "tier": _(tier)}
        for zone, tier in covers.get("cleaning_up_to", {}).items()
    )
    if covers.get("cleaning_causes"):
        yield _("cleaning after %(causes)s") % {"causes": ", ".join(covers["cleaning_causes"])}
    if covers.get("excess"):
        yield _("lower excess")
