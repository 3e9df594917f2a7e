"""The dip-stick as SVG: how it left on one side, how it came back on the other, one scale, the doubt drawn. Pure.

Upright at a Station, lying elsewhere, plain for paper. Values are Decimals in the instrument's own unit; they become
plain coordinates only where something is drawn.
"""

from consumables.dipstick.lying import lying_svg
from consumables.dipstick.paper import print_svg
from consumables.dipstick.reading import DipInput, Level, Tick, band, curve_quarters, even_ticks, meets, quarters
from consumables.dipstick.upright import upright_svg

__all__ = [
    "DipInput", "Level", "Tick", "band", "curve_quarters", "even_ticks", "lying_svg", "meets", "print_svg", "quarters",
    "upright_svg",
]  # fmt: skip
