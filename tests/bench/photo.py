"""Photo ingest beside bare Pillow: python -m tests.bench.photo

Both take the same 12-megapixel JPEG in alternating rounds of one run. Bare Pillow opens it, turns it upright, makes
the two smaller copies and saves them; ingest also checks the file, frees the original of its place and digests both.
"""

import statistics
from collections.abc import Callable
from io import BytesIO
from time import perf_counter

from PIL import Image, ImageOps

from shared.photos.ingest import ingest

GOAL = 1.3
ROUNDS = 7


def main() -> None:
    ratio, bare, ours = measure()
    print(f"photo ingest  {ours * 1000:6.0f} ms   bare Pillow {bare * 1000:6.0f} ms   "  # noqa: T201
          f"ratio {ratio:.2f} (goal {GOAL} or less)")  # fmt: skip


def measure() -> tuple[float, float, float]:
    """Ratio of the medians, then bare Pillow and ingest in seconds for one photo."""
    data = _photo()
    rounds = [(_seconds(_bare, data), _seconds(ingest, data)) for _ in range(ROUNDS)]
    bare, ours = (statistics.median(column) for column in zip(*rounds, strict=True))
    return ours / bare, bare, ours


def _bare(data: bytes) -> list[bytes]:
    image = ImageOps.exif_transpose(Image.open(BytesIO(data)))
    copies = []
    for edge in (1600, 320):
        copy = image.copy()
        copy.thumbnail((edge, edge))
        file = BytesIO()
        copy.save(file, "JPEG", quality=82)
        copies.append(file.getvalue())
    return copies


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
