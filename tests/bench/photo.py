"""Photo ingest beside bare Pillow: python -m tests.bench.photo

All take the same 12-megapixel JPEG in alternating rounds of one run. Bare Pillow opens it, turns it upright, makes
the two smaller copies and saves them; tuned Pillow decodes it at half size and makes the second copy from the first.
Ingest also checks the file, frees the original of its place and digests both.
"""

import statistics
from collections.abc import Callable
from io import BytesIO
from time import perf_counter

from PIL import Image, ImageOps

from shared.photos.ingest import ingest

GOAL = 1.3
ROUNDS = 7
EDGES = (1600, 320)


def main() -> None:
    ratio, bare, tuned, ours = measure()
    print(f"photo ingest        {ours * 1000:6.0f} ms")  # noqa: T201
    print(f"bare Pillow         {bare * 1000:6.0f} ms  ratio {ratio:.2f} (goal {GOAL} or less)")  # noqa: T201
    print(f"tuned Pillow        {tuned * 1000:6.0f} ms  ratio {ours / tuned:.2f}")  # noqa: T201


def measure() -> tuple[float, float, float, float]:
    """Ratio of ingest to bare Pillow, then seconds of bare Pillow, tuned Pillow and ingest for one photo: medians."""
    data = _photo()
    rounds = [[_seconds(work, data) for work in (_bare, _tuned, ingest)] for _ in range(ROUNDS)]
    bare, tuned, ours = (statistics.median(column) for column in zip(*rounds, strict=True))
    return ours / bare, bare, tuned, ours


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


def _photo() -> bytes:
    """4000 x 3000 pixels of soft noise lying on a side, with a place."""
    noise = Image.effect_noise((1000, 750), 60).resize((4000, 3000), Image.Resampling.BICUBIC)
    image = Image.merge("RGB", (noise, noise.transpose(Image.Transpose.ROTATE_180), noise))
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x8825] = {1: "N", 2: (57.0, 28.0, 1.5)}
    file = BytesIO()
    image.save(file, "JPEG", quality=95, exif=exif.tobytes())
    return file.getvalue()


def _seconds(work: Callable[[bytes], object], data: bytes) -> float:
    start = perf_counter()
    work(data)
    return perf_counter() - start


if __name__ == "__main__":
    main()
