"""Two photos of one view: how many known changes are found, and how many places are shown where nothing changed.

Drawn sides of a vehicle, not photos of real ones; what is measured and how stands in tests/photos/laid.py.
"""

from itertools import pairwise
from time import process_time

from handover.demo.scenes import Light, photo, side
from handover.photo.aligning import TooDifferent, lay_over
from tests.bench.pairing import say
from tests.photos.laid import KINDS, LIGHTS, measure

SEEDS = range(700, 712)


def run() -> None:
    start = process_time()
    tally = measure(SEEDS)
    for light in LIGHTS:
        figures = f"{tally.recall(light=light):.0%} found, {tally.false_alarms(light):.1f} false a pair"
        say(f"photo pair, {light}", figures)
    for kind, size in KINDS:
        say(f"photo pair, {kind} of {size} px", f"{tally.recall(kind=(kind, size)):.0%} found")
    say("photo pair, all", f"{tally.recall():.0%} found, {tally.false_alarms():.1f} false a pair")
    say("photo pair, could not be laid", f"{len(tally.not_laid)} of {len(SEEDS) * len(LIGHTS) * 2}")
    say("photo pair, other sides told apart", f"{_told_apart()} of {len(SEEDS) - 1}")
    say("photo pair, drawn and compared", f"{(process_time() - start) / (len(SEEDS) * len(LIGHTS) * 2):.1f} s each")


def _told_apart() -> int:
    """Photos of different vehicles are said to be too different."""
    shots = [photo(side(seed), Light(), seed=seed).data for seed in SEEDS]
    return sum(_is_refused(*pair) for pair in pairwise(shots))


def _is_refused(one: bytes, other: bytes) -> bool:
    try:
        lay_over(one, other)
    except TooDifferent:
        return True
    return False
