"""The spread by instrument, by branch and by person, as tables that warn of small numbers."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from decimal import Decimal
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from fleet.models import Instrument
from handover.insight.asking import Asked
from handover.insight.facts import drill_among
from handover.insight.repeatability.pairs import Pair, pairs_of
from handover.insight.repeatability.spread import FEWEST, Spread, spread
from handover.insight.table import Column, Drawing, Row, Span, Table

HUNDREDTH = Decimal("0.01")
Groups = dict[tuple[str, str, str, str], list[Pair]]
KINDS = dict(Instrument.Measures.choices)


def spread_by_instrument(asked: Asked) -> Table:
    return _table(asked, _("How well readings repeat, by instrument"), "", lambda pair: [("", "")])


def spread_by_branch(asked: Asked) -> Table:
    title = _("How well readings repeat, by branch")
    return _table(asked, title, _("Branch of the pickup"), lambda pair: [(pair.branch, pair.branch)])


def spread_by_person(asked: Asked) -> Table:
    """Every pair counts for both of its readers. Who has too few pairs is counted and not named."""
    title = _("How well readings repeat, by person")
    return _table(asked, title, _("Took part"), lambda pair: pair.people, named_from=FEWEST)


def _table(
    asked: Asked, title: str, heading: str, of: Callable[[Pair], Iterable[tuple[str, str]]], named_from: int = 1
) -> Table:
    pairs = pairs_of(asked)
    groups = _grouped(pairs, of)
    shown = {key: some for key, some in groups.items() if len(some) >= named_from}
    spreads = {key: spread([pair.difference for pair in some]) for key, some in sorted(shown.items())}
    unnamed = len({key[2] for key in groups} - {key[2] for key in shown})
    return Table(
        title=title,
        definition=_(
            "Two people read the same untouched level: one at the return, the other at the next pickup of the unit. "
            "The standard deviation says how far one reading strays; with 95 % confidence it lies between the two "
            "figures beside it. Two readings by the book differ by more than the limit in 5 of 100 cases only. "
            "Reckoned as s = √(Σd² ÷ 2n), d being the difference of a pair and n the number of pairs, its interval by "
            "chi-square, the limit as 2.77 s (ISO 5725-6, there r = 2.8 s)."
        ),
        columns=(
            Column("kind", _("Instrument"), figures=False),
            *((Column("of", heading, figures=False),) if heading else ()),
            Column("pairs", _("Pairs of readings")), Column("standard_deviation", _("Standard deviation")),
            Column("low", _("At least, with 95 % confidence")), Column("high", _("At most, with 95 % confidence")),
            Column("limit", _("Limit for two readings")), Column("mean", _("Mean of later less earlier")),
            Column("unit", _("Measured in"), figures=False),
        ),
        rows=tuple(_row(key, one, named=bool(heading)) for key, one in spreads.items()),
        rests_on=len(pairs),
        rests_words=ngettext("%(count)s pair", "%(count)s pairs", len(pairs)) % {"count": len(pairs)},
        unknown=_unknown(unnamed),
        warning=_warning(spreads.values(), by_person=named_from > 1),
        drawing=_drawing(spreads),
        drill=drill_among(_members(shown)),
    )  # fmt: skip


def _grouped(pairs: Iterable[Pair], of: Callable[[Pair], Iterable[tuple[str, str]]]) -> Groups:
    groups: Groups = defaultdict(list)
    for pair in pairs:
        for key, label in of(pair):
            groups[pair.measures, pair.unit, key, label].append(pair)
    return groups


def _members(groups: Groups) -> dict[str, set[UUID]]:
    return {_key(key): {pair.rental for pair in some} for key, some in groups.items()}


def _key(key: tuple[str, str, str, str]) -> str:
    return " ".join(filter(None, key[:3]))


def _row(key: tuple[str, str, str, str], one: Spread, *, named: bool) -> Row:
    figures = (one.s, one.low, one.high, one.limit, one.mean)
    return Row(
        (str(KINDS.get(key[0], key[0])), *((key[3],) if named else ()), one.pairs,
         *(each.quantize(HUNDREDTH) for each in figures), key[1]),
        key=_key(key),
    )  # fmt: skip


def _unknown(unnamed: int) -> tuple[str, ...]:
    sentences = [
        _("The second reader sees what the first one read, so the true spread may be larger."),
        _("The house battery and the odometer are left out: they move by themselves, or with the unit in the yard."),
    ]
    if unnamed:
        sentences.append(
            ngettext(
                "%(count)s person took part in fewer than %(fewest)s pairs of any instrument and is not named.",
                "%(count)s people took part in fewer than %(fewest)s pairs of any instrument and are not named.",
                unnamed,
            )
            % {"count": unnamed, "fewest": FEWEST}
        )
    return tuple(sentences)


def _warning(spreads: Iterable[Spread], *, by_person: bool) -> str:
    if by_person:
        return _(
            "A pair says nothing about which of the two was wrong: every figure here holds the partner’s spread too. "
            "Where intervals overlap there is no difference to speak of. It is a reason to train, never one to blame."
        )
    if any(one.is_thin for one in spreads):
        return _(
            "Fewer than %(fewest)s pairs: the interval is wide, and rows that rest on so few are not to be compared."
        ) % {"fewest": FEWEST}
    return ""


def _drawing(spreads: dict[tuple[str, str, str, str], Spread]) -> Drawing | None:
    """Litres and kilograms have no common scale: the unit with most rows is drawn."""
    units = [key[1] for key, one in spreads.items() if not one.is_thin]
    if not units:
        return None
    unit = max(sorted(set(units)), key=units.count)
    return Drawing(
        _("Standard deviation with its 95 %% interval, %(unit)s") % {"unit": unit},
        tuple(
            Span(f"{KINDS.get(key[0], key[0])} {key[3]}".strip(), float(one.s), float(one.low), float(one.high))
            for key, one in spreads.items()
            if key[1] == unit and not one.is_thin
        ),
    )
