"""Which gas: propane, n-butane, or a mixture of both that says whether its shares are by mass or by mole."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from consumables.said import say as _

PROPANE_KG_PER_KMOL = Decimal("44.096")
BUTANE_KG_PER_KMOL = Decimal("58.122")
PURE = {"propane": Decimal(1), "butane": Decimal(0), "n-butane": Decimal(0)}
SHARES = re.compile(r"(\d{1,2}) ?/ ?(\d{1,2})(?: by (mass|mole))?")


class GasUnclear(ValueError):
    """What was written names no gas that can be reckoned with. Its one argument is the sentence, as Said."""


@dataclass(frozen=True, slots=True)
class GasKind:
    """`propane` is its share by mass, 0 to 1; the rest is n-butane. Commercial gas has a little of others too."""

    name: str
    propane: Decimal

    @property
    def butane(self) -> Decimal:
        return 1 - self.propane


PROPANE = GasKind("propane", Decimal(1))
BUTANE = GasKind("butane", Decimal(0))


def mixture(propane_pct: Decimal, by: Literal["mass", "mole"]) -> GasKind:
    """Propane and n-butane, `propane_pct` of it propane: half by mole is only 43 % by mass.

    Raises GasUnclear outside 0 to 100 %.
    """
    if not 0 <= propane_pct <= 100:
        raise GasUnclear(_("%(share)s %% of propane cannot be. It is 0 to 100 %%.", share=str(propane_pct)))
    share = propane_pct / 100
    if by == "mole":
        propane, butane = share * PROPANE_KG_PER_KMOL, (1 - share) * BUTANE_KG_PER_KMOL
        share = propane / (propane + butane)
    return GasKind(f"{propane_pct}/{100 - propane_pct} propane and butane by {by}", share)


def gas_kind(written: str) -> GasKind:
    """Reads "propane", "butane", "60/40 by mass", "50/50 by mole": propane comes first.

    Raises GasUnclear, also for shares that do not say of what: the difference is 2 % of the litres.
    """
    words = " ".join(written.lower().split())
    if words in PURE:
        return PROPANE if PURE[words] else BUTANE
    shares = SHARES.fullmatch(words)
    if shares is None or int(shares[1]) + int(shares[2]) != 100:
        raise GasUnclear(_("%(gas)s is no gas known here. Write propane, butane, or 60/40 by mass.", gas=written))
    if shares[3] is None:
        raise GasUnclear(_("%(of)s can be by mass or by mole. Write %(of)s by mass, or %(of)s by mole.", of=words))
    return mixture(Decimal(shares[1]), "mass" if shares[3] == "mass" else "mole")
