"""What the pure modules of this room say, for the phrase book: they know no Django, so it is listed here."""

from shared.access.roles import ROLE_NAMES
from shared.units import DIMENSIONS

QUANTITIES = (
    "Nothing is written here.",
    "%(typed)s is no figure.",
    "%(typed)s is below zero: nothing can be less than empty.",
    "%(typed)s can be %(whole)s or %(part)s: write %(whole)s or %(longer)s.",
    "%(typed)s has no unit known here; known are %(most)s and %(last)s.",
    "%(typed)s has no unit known here; known is %(last)s.",
    "%(typed)s cannot be %(wanted)s: %(symbol)s is %(other)s; known are %(most)s and %(last)s.",
    "%(typed)s cannot be %(wanted)s: %(symbol)s is %(other)s; known is %(last)s.",
    "%(typed)s is more than any instrument shows.",
    "%(typed)s is more than full.",
    "%(noun)s is written like %(example)s.",
    "%(noun)s is written like %(example)s, or as a part of full like 5/8.",
    "A gallon is 3.785 L in the US and 4.546 L imperial. Write US gal or imp gal.",
)
CLOCKS = (
    "%(name)s is no time zone. A zone is named like Europe/London or Pacific/Auckland.",
    "%(text)s is no date and time. Write it as 2026-08-18T11:30.",
    "%(year)s is no year of a rental. Write the time as 2026-08-18T11:30.",
    "%(time)s did not come in %(zone)s: the clocks went forward over it. %(earlier)s or %(later)s may be meant.",
    (
        "%(time)s came twice in %(zone)s, because the clocks went back. "
        "Say whether the first (%(first)s) or the second (%(second)s) is meant."
    ),
)
PHOTOS = (
    "A photo as JPEG, PNG, WebP or HEIC up to %(most)s megapixels can be added.",
    "This file is empty: the upload may have broken off.",
    "This file is %(kind)s, not a photo.",
    "This %(kind)s is damaged or cut off and shows no picture: the upload may have broken off.",
    "This picture has %(millions)s megapixels (%(width)s × %(height)s), which is too many.",
    "This picture has far too many megapixels.",
    "a GIF picture",
    "a TIFF or raw camera picture",
    "an AVIF picture",
    "a BMP picture",
    "an icon",
    "a Photoshop picture",
    "a JPEG 2000 picture",
    "a JPEG XL picture",
    "a PostScript drawing",
    "a PDF document",
    "a video",
    "a sound",
    "a ZIP archive",
    "a packed archive",
    "a program",
    "of no kind known here",
    "a text",
    "a web page",
    "an SVG drawing",
)
NOUNS = tuple(dimension.noun for dimension in DIMENSIONS.values())
SAYINGS = (*QUANTITIES, *CLOCKS, *PHOTOS, *NOUNS, *(noun.capitalize() for noun in NOUNS), *ROLE_NAMES.values())
