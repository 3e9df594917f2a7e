"""The photos of a bundle: which, in what order, how large in each form."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import BytesIO

from django.utils.text import slugify
from PIL import Image

from handover.dispute.bundle.fitting import Form, Weighed
from handover.dispute.evidence.gathering import Gathered
from handover.dispute.evidence.photographs import Photographed
from handover.dispute.models import DisputePhoto
from handover.photo.models import Photo
from shared.files.store import read

SMALL_EDGE, SMALL_QUALITY = 800, 70
SIDE_EDGE = 1000
GAP = 12


@dataclass(frozen=True, slots=True)
class Pictured:
    """`stem` names it in the folder; `original` and `display` are kept files, `sha256` is of the original."""

    stem: str
    original: str
    display: str
    sha256: str
    shows_it: bool

    @property
    def suffix(self) -> str:
        return self.original.rpartition(".")[2]

    def name(self, form: Form) -> str:
        if form is Form.ORIGINAL:
            return f"photos/{self.stem}.{self.suffix}"
        return f"photos-smaller/{self.stem}.jpg"

    def data(self, form: Form) -> bytes:
        if form is Form.ORIGINAL:
            return read(self.original)
        return read(self.display) if form is Form.DISPLAY else smaller(read(self.display))

    def weighed(self) -> Weighed:
        """Read once to be weighed and once more to be packed: no more than one is in memory."""
        display = read(self.display)
        sizes = (len(read(self.original)), len(display), len(smaller(display)))
        return Weighed(self.stem, *sizes, shows_it=self.shows_it)


def pictured(found: Gathered, shown: Photographed, sent: Sequence[DisputePhoto]) -> list[Pictured]:
    """Those of the thing first, then what the customer sent, then the others of both walk-rounds by time."""
    it = [photo for photo in (shown.out, shown.back) if photo]
    it += [photo for photo in found.photos if photo not in it and _is_of_it(photo, found)]
    rest = [photo for photo in found.photos if photo not in it]
    return [*_of_walks(it, shows_it=True), *_of_customer(sent), *_of_walks(rest, shows_it=False)]


def _is_of_it(photo: Photo, found: Gathered) -> bool:
    return photo.pk in found.tapped or photo.subject in {*found.thing.subjects, found.thing.mark} - {None}


def _of_walks(photos: Sequence[Photo], *, shows_it: bool) -> Iterator[Pictured]:
    for photo in photos:
        view = slugify(photo.view)[:40] or f"station-{photo.station_number}"
        stem = f"{photo.walk.kind}-{view}-{photo.kept_sha256[:12]}"
        yield Pictured(stem, photo.original, photo.display, photo.kept_sha256, shows_it)


def _of_customer(photos: Sequence[DisputePhoto]) -> Iterator[Pictured]:
    for photo in photos:
        stem = f"customer-{photo.kept_sha256[:12]}"
        yield Pictured(stem, photo.original, photo.display, photo.kept_sha256, shows_it=True)


def smaller(jpeg: bytes, edge: int = SMALL_EDGE) -> bytes:
    """The same picture with a longer edge of at most `edge` pixels, as JPEG."""
    with Image.open(BytesIO(jpeg)) as image:
        copy = image.convert("RGB")
        copy.thumbnail((edge, edge))
    return _jpeg(copy)


def side_by_side(out: bytes, back: bytes, edge: int = SIDE_EDGE) -> bytes:
    """Two photos of one view, pickup left, in the height of the lower one; `edge` is the longer side of each."""
    halves: list[Image.Image] = [Image.open(BytesIO(smaller(data, edge))) for data in (out, back)]
    height = min(half.height for half in halves)
    halves = [half.resize((round(half.width * height / half.height), height)) for half in halves]
    sheet = Image.new("RGB", (sum(half.width for half in halves) + GAP, height), "white")
    sheet.paste(halves[0], (0, 0))
    sheet.paste(halves[1], (halves[0].width + GAP, 0))
    return _jpeg(sheet)


def _jpeg(image: Image.Image) -> bytes:
    held = BytesIO()
    image.save(held, "JPEG", quality=SMALL_QUALITY)
    return held.getvalue()
