"""A value of a rate card as it is said: Damage, repair, bumper, scuff, up to 150 mm."""

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation

from django.utils.translation import gettext as _

from handover.ratecard.choices import CHOICES, YES_NO
from handover.ratecard.flat import BEYOND, NONE
from handover.ratecard.labels import LABELS, SECTIONS, Label
from handover.ratecard.paths import split
from handover.ratecard.schema import Group, Named, Node, Numbered, Steps, leaf_at, schema
from shared.money import exponent, money_text, symbol_of
from shared.phrasebook import inside, said


def pattern_of(path: str) -> str:
    """The path with * for each name of the operator's own: kits.*.kit_price."""
    return ".".join(_pattern(schema(), split(path)))


def _pattern(node: Node | None, names: list[str]) -> list[str]:
    if not names or node is None:
        return names
    first, rest = names[0], names[1:]
    if isinstance(node, Group):
        return [first, *_pattern(node.parts.get(first), rest)]
    if isinstance(node, Named | Numbered):
        return ["*", *_pattern(node.part, rest)]
    return ["*", *rest] if isinstance(node, Steps) else names


def label_of(path: str) -> Label:
    """A parameter that nobody has put into words yet is called by its key."""
    pattern = pattern_of(path)
    label = LABELS.get(pattern) or Label(human(pattern.rpartition(".")[2]).capitalize())
    return Label(said(label.words), said(label.unit), said(label.help))


def choices_of(path: str) -> Mapping[str, str]:
    """What can be chosen there; empty where something is typed."""
    leaf = leaf_at(path)
    if leaf is not None and leaf.kind == "flag":
        return {value: said(words) for value, words in YES_NO.items()}
    return {value: said(words) for value, words in CHOICES.get(pattern_of(path), {}).items()}


def section_words(key: str) -> str:
    return said(SECTIONS[key]) if key in SECTIONS else human(key).capitalize()


def title_of(path: str, names: Mapping[str, str] | None = None) -> str:
    """Section and label, with the names in between: Safety kits, First aid kit, whole kit."""
    own = names_in(path)
    called = [(names or {}).get(name, _said(name)) for name in own]
    limit = _limit(path)
    section = split(path)[0]
    words = [section_words(section) if section in SECTIONS else human(section), *called[: len(own) - bool(limit)]]
    return ", ".join([*words, *([limit] if limit else []), _small(label_of(path).words)])


def names_in(path: str) -> list[str]:
    """The names of the operator's own in a path, and its limit."""
    pieces = split(path)
    pattern = _pattern(schema(), pieces)
    return [name for name, part in zip(pieces, pattern, strict=True) if part == "*"]


def _limit(path: str) -> str:
    if pattern_of(path) not in {"distance.tiers.*", "damage.matrix.*.*.*"}:
        return ""
    return limit_words(split(path)[-1], "mm" if path.startswith("damage") else "")


def limit_words(limit: str, unit: str = "") -> str:
    if limit in (BEYOND, NONE):
        return _("beyond")
    return (_("up to %(limit)s %(unit)s") % {"limit": limit, "unit": unit}).strip()


def value_words(path: str, value: str, currency: str) -> str:
    """£1.62/L; as it left; no limit."""
    if value in choices_of(path):
        return choices_of(path)[value]
    if value == NONE:
        return _("unlimited") if path == "distance.included_per_day" else _("no limit")
    unit = label_of(path).unit
    if unit.startswith("¤"):
        return priced(value, currency) + unit.removeprefix("¤")
    return " ".join(part for part in ("; ".join(value.splitlines()), unit) if part)


def priced(value: str, currency: str) -> str:
    """£1.62; a price of a litre keeps its further decimals, and what is no amount stays as it was typed."""
    try:
        amount = Decimal(value)
    except InvalidOperation:
        return value
    if not amount.is_finite() or -int(amount.as_tuple().exponent) > exponent(currency):
        return f"{symbol_of(currency)}{value}"
    return money_text(amount, currency)


def unit_of(path: str, currency: str) -> str:
    return label_of(path).unit.replace("¤", symbol_of(currency))


def human(name: str) -> str:
    return name.replace("_", " ")


def _said(name: str) -> str:
    return said(human(name)) if not name.isdecimal() else _("no. %(number)s") % {"number": name}


def _small(words: str) -> str:
    return words if words[:3].isupper() else inside(words)
