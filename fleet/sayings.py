"""What the pure modules of this room say, for the phrase book."""

from fleet.drawing.pegs import STATE_WORDS
from fleet.drawing.plan import SIDES

VIN = (
    "A VIN has 17 letters and digits, never I, O or Q; this has %(count)s.",
    "Did you mean %(likely)s?",
    "The check digit, place 9, is %(digit)s and by the rest of the VIN must be %(right)s.",
)
# Instruments and ways to look, as layouts and statements name them.
INSTRUMENTS = (
    "gauge",
    "scale",
    "sight",
    "display",
    "depth gauge",
    "odometer",
    "count",
    "seal",
    "eye",
    "eye and nose",
    "eye and ruler",
)
SAYINGS = (*VIN, *INSTRUMENTS, *STATE_WORDS.values(), *(words for sides in SIDES.values() for words in sides))
