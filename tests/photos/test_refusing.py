import gzip
import struct
import tracemalloc
import zipfile
from io import BytesIO
from time import perf_counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared.photos.ingest import NotAPhoto, ingest
from shared.photos.refusing import CAN
from tests.photos.pictures import box, chunk, exif, noise, opened, png_of, quarters, saved

WHOLE = {name: saved(noise(), name) for name in ("JPEG", "PNG", "WEBP", "HEIF")}
SVG = '<?xml version="1.0"?><!-- plan --><svg xmlns="http://www.w3.org/2000/svg"><rect width="9"/></svg>'
SVG_WITH_ENTITY = '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg><text>&x;</text></svg>'


def refusal(data: bytes) -> str:
    with pytest.raises(NotAPhoto) as refused:
        ingest(data)
    said = str(refused.value)
    assert said.endswith(CAN)
    return said.removesuffix(f" {CAN}")


def zipped() -> bytes:
    file = BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("photo.jpg", WHOLE["JPEG"])
    return file.getvalue()


def test_whole_sentence() -> None:
    with pytest.raises(NotAPhoto) as refused:
        ingest(b"fuel 5/8")
    assert str(refused.value) == (
        "This file is a text, not a photo. A photo as JPEG, PNG, WebP or HEIC up to 50 megapixels can be added."
    )


def test_empty() -> None:
    assert refusal(b"") == "This file is empty: the upload may have broken off."


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"fuel 5/8, gas 7.9 kg\n", "a text"),
        ("Füllstand ⅝".encode(), "a text"),
        ("fuel".encode("utf-16"), "a text"),
        (b"a" * 4095 + "é".encode(), "a text"),
        (SVG.encode(), "an SVG drawing"),
        (SVG_WITH_ENTITY.encode(), "an SVG drawing"),
        (b"<!----" * 680, "a text"),
        (b"<!DOCTYPE html><html><script>alert(1)</script></html>", "a web page"),
        (saved(quarters(), "GIF"), "a GIF picture"),
        (saved(quarters(), "TIFF"), "a TIFF or raw camera picture"),
        (saved(quarters(), "BMP"), "a BMP picture"),
        (saved(quarters(), "ICO"), "an icon"),
        (saved(quarters(), "EPS"), "a PostScript drawing"),
        (saved(quarters(), "PDF"), "a PDF document"),
        (box(b"ftyp", b"avif\0\0\0\0"), "an AVIF picture"),
        (box(b"ftyp", b"isom\0\0\0\0") + box(b"moov", b""), "a video"),
        (b"\x1a\x45\xdf\xa3webm", "a video"),
        (b"RIFF\x24\0\0\0WAVEfmt ", "a sound"),
        (zipped(), "a ZIP archive"),
        (gzip.compress(b"photo", mtime=0), "a packed archive"),
        (b"\x7fELF\2\1\1", "a program"),
        (b"8BPS\0\1", "a Photoshop picture"),
        (bytes(range(256)), "of no kind known here"),
        (b"\0" * 64, "of no kind known here"),
        (b"\xff", "of no kind known here"),
    ],
)
def test_something_else(data: bytes, what: str) -> None:
    assert refusal(data) == f"This file is {what}, not a photo."


def damage(name: str) -> str:
    return f"This {name} is damaged or cut off and shows no picture: the upload may have broken off."


@pytest.mark.parametrize(("name", "shown"), [("JPEG", "JPEG"), ("PNG", "PNG"), ("WEBP", "WebP"), ("HEIF", "HEIC")])
@pytest.mark.parametrize("share", [0.02, 0.5, 0.99])
def test_cut_off(name: str, shown: str, share: float) -> None:
    whole = WHOLE[name]
    assert refusal(whole[: max(int(len(whole) * share), 16)]) == damage(shown)


def test_last_two_bytes_missing() -> None:
    assert refusal(WHOLE["JPEG"][:-2]) == damage("JPEG")


@pytest.mark.parametrize(
    "data",
    [
        b"\xff\xd8\xff",
        b"\xff\xd8\xff\xe0" + b"not a picture at all" * 9,
        b"\xff\xd8\xff\xd9",
        WHOLE["JPEG"][:2] + b"\xff\xe0\0\0" + WHOLE["JPEG"][20:],
    ],
)
def test_jpeg_in_name_only(data: bytes) -> None:
    assert refusal(data) == damage("JPEG")


@pytest.mark.parametrize(
    "data",
    [
        b"\x89PNG\r\n\x1a\n",
        WHOLE["PNG"].replace(b"IDAT", b"IDAX"),
        WHOLE["PNG"][:-20] + b"\0" * 8 + WHOLE["PNG"][-12:],
        png_of(8000, 6000),
        png_of(0, 0),
    ],
)
def test_damaged_png(data: bytes) -> None:
    assert refusal(data) == damage("PNG")


def test_png_with_a_text_that_swells() -> None:
    bomb = chunk(b"zTXt", b"note\0\0" + gzip.zlib.compress(bytes(200_000_000), 9))  # type: ignore[attr-defined]
    data = WHOLE["PNG"]
    swelling = data[:33] + bomb + data[33:]
    tracemalloc.start()
    refusal(swelling)
    assert tracemalloc.get_traced_memory()[1] < 100_000_000
    tracemalloc.stop()


@pytest.mark.parametrize(("side", "megapixels"), [(7200, 52), (9000, 81)])
def test_too_many_pixels(side: int, megapixels: int) -> None:
    said = refusal(png_of(side, side))
    assert said == f"This picture has {megapixels} megapixels ({side} × {side}), which is too many."


@pytest.mark.parametrize(("width", "height"), [(12000, 12000), (30000, 30000), (2**31 - 1, 2**31 - 1), (1, 2**31 - 1)])
def test_far_too_many_pixels_are_refused_at_once(width: int, height: int) -> None:
    start = perf_counter()
    assert refusal(png_of(width, height)) == "This picture has far too many megapixels."
    assert perf_counter() - start < 0.5


@pytest.mark.parametrize("name", ["JPEG", "WEBP"])
def test_bomb_of_another_format(name: str) -> None:
    data = bytearray(saved(quarters(16, 16), name, **({"quality": 10} if name == "JPEG" else {"lossless": True})))
    if name == "JPEG":
        frame = data.index(b"\xff\xc0") + 5
        data[frame : frame + 4] = struct.pack(">HH", 65000, 65000)
        assert refusal(bytes(data)) == "This picture has far too many megapixels."
    else:
        data[21:25] = struct.pack("<I", 0x3FFF | 0x3FFF << 14)
        assert "megapixels" in refusal(bytes(data))


def test_largest_sensor_of_50_megapixels_is_taken() -> None:
    photo = ingest(saved(quarters(8192, 6144, mode="L"), "PNG", compress_level=1))
    assert (photo.width, photo.height) == (8192, 6144)


@pytest.mark.parametrize("name", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_tail_of_a_polyglot_is_not_kept(name: str) -> None:
    photo = ingest(WHOLE[name] + zipped() + SVG.encode())
    assert b"<svg" not in photo.original
    assert opened(photo.original).size == (320, 240)


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(list(WHOLE)), st.data())
def test_bytes_gone_wrong_are_refused_or_shown(name: str, data: st.DataObject) -> None:
    wrong = bytearray(saved(quarters(32, 24), name, exif=exif()) if name != "HEIF" else WHOLE[name])
    for _ in range(data.draw(st.integers(1, 6))):
        wrong[data.draw(st.integers(0, len(wrong) - 1))] = data.draw(st.integers(0, 255))
    try:
        photo = ingest(bytes(wrong))
    except NotAPhoto:
        return
    assert opened(photo.display).format == "JPEG"


def test_cut_off_where_records_are_made_too() -> None:
    import weasyprint.images  # noqa: F401  it tells Pillow to accept files that end early

    assert refusal(WHOLE["PNG"][: len(WHOLE["PNG"]) // 2]) == damage("PNG")
