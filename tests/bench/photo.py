"""Photo ingest beside Pillow, all with the same 12-megapixel JPEG.

Bare Pillow opens it, turns it upright, makes the two smaller copies and saves them; tuned Pillow decodes it at half
size first. Ingest also checks the file, frees the original of its place and digests both.
"""

from io import BytesIO

from PIL import Image, ImageOps

from shared.photos.ingest import ingest
from tests.bench.pairing import alternating, say

EDGES = (1280, 320)


def run() -> None:
    data = photo()
    bare, tuned, ours = alternating(lambda: _bare(data), lambda: _tuned(data), lambda: ingest(data))
    say("photo ingest", f"{ours * 1000:,.0f} ms")
    say("photo ingest against bare Pillow", f"{ours / bare:.2f}", "goal 1.3 or less")
    say("photo ingest against tuned Pillow", f"{ours / tuned:.2f}")


def photo() -> bytes:
    """4000 x 3000 pixels of soft noise lying on a side, with a place."""
    noise = Image.effect_noise((1000, 750), 60).resize((4000, 3000), Image.Resampling.BICUBIC)
    image = Image.merge("RGB", (noise, noise.transpose(Image.Transpose.ROTATE_180), noise))
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x8825] = {1: "N", 2: (57.0, 28.0, 1.5)}
    file = BytesIO()
    image.save(file, "JPEG", quality=95, exif=exif.tobytes())
    return file.getvalue()


def _bare(data: bytes) -> list[bytes]:
    image = ImageOps.exif_transpose(Image.open(BytesIO(data)))
    return [_small(image.copy(), edge) for edge in EDGES]


def _tuned(data: bytes) -> list[bytes]:
    image = Image.open(BytesIO(data))
    image.draft("RGB", (image.width * EDGES[0] // max(image.size), image.height * EDGES[0] // max(image.size)))
    image.thumbnail((EDGES[0], EDGES[0]), Image.Resampling.LANCZOS, reducing_gap=2.0)
    image = ImageOps.exif_transpose(image)
    return [_small(image, edge) for edge in EDGES]


def _small(image: Image.Image, edge: int) -> bytes:
    image.thumbnail((edge, edge))
    file = BytesIO()
    image.save(file, "JPEG", quality=82)
    return file.getvalue()
