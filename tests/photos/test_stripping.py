"""The original as kept: the picture's own bytes and nothing else."""

from io import BytesIO

import pytest
from PIL import Image, ImageChops
from PIL.PngImagePlugin import PngInfo

from shared.photos.ingest import ingest
from shared.photos.stripping import STRIP, heif, jpeg, png, webp
from shared.photos.stripping.malformed import Malformed
from tests.photos.pictures import XMP, box, chunk, exif, noise, opened, quarters, saved

FORMATS = ["JPEG", "PNG", "WEBP", "HEIF"]
TAIL = b"<script>alert(1)</script>" + b"PK\3\4" + XMP
GPS, EXIF, MAKER_NOTE = 0x8825, 0x8769, 0x927C


def sent(name: str, **how: object) -> bytes:
    return saved(noise(), name, **{"exif": exif(orientation=6), "xmp": XMP, **how})


def kept(data: bytes) -> Image.Image:
    return opened(ingest(data).original)


@pytest.mark.parametrize("name", FORMATS)
def test_the_place_is_gone(name: str) -> None:
    data = sent(name)
    assert opened(data).getexif().get_ifd(GPS)
    original = ingest(data).original
    assert not opened(original).getexif().get_ifd(GPS)
    assert b"GPSLatitude" not in original


@pytest.mark.parametrize("name", FORMATS)
def test_maker_and_note_are_gone(name: str) -> None:
    data = sent(name)
    assert b"Maker" in data
    original = ingest(data).original
    assert b"Maker" not in original
    assert b"maker's own note" not in original


@pytest.mark.parametrize("name", FORMATS)
def test_time_stays(name: str) -> None:
    assert kept(sent(name)).getexif().get_ifd(EXIF) == {0x9003: "2026:07:04 09:15:00", 0x9011: "+01:00"}


@pytest.mark.parametrize("name", ["JPEG", "PNG", "WEBP"])
def test_orientation_stays(name: str) -> None:
    assert kept(sent(name)).getexif()[0x0112] == 6


@pytest.mark.parametrize("name", FORMATS)
def test_picture_is_the_same_to_the_last_bit(name: str) -> None:
    data = sent(name)
    difference = ImageChops.difference(opened(data).convert("RGB"), kept(data).convert("RGB"))
    assert difference.getbbox() is None


@pytest.mark.parametrize("name", FORMATS)
def test_what_hangs_on_after_the_end_is_gone(name: str) -> None:
    data = sent(name)
    assert ingest(data + TAIL).original == ingest(data).original


@pytest.mark.parametrize("name", FORMATS)
def test_kept_original_is_kept_as_it_is(name: str) -> None:
    original = ingest(sent(name)).original
    assert ingest(original).original == original


@pytest.mark.parametrize("name", FORMATS)
def test_photo_with_nothing_but_a_place(name: str) -> None:
    photo = ingest(saved(noise(), name, exif=exif(time="", offset="")))
    assert photo.taken_at is None
    assert b"maker's own note" not in photo.original


def test_jpeg_keeps_its_scan_untouched() -> None:
    data = saved(noise(), "JPEG", exif=exif(), comment=b"at home")
    scan = data[data.index(b"\xff\xda") :]
    original = ingest(data).original
    assert original.endswith(scan)
    assert b"at home" not in original


@pytest.mark.parametrize("how", [{"progressive": True}, {"restart_marker_blocks": 4}, {"subsampling": 0}])
def test_jpegs_of_other_makes(how: dict[str, object]) -> None:
    data = sent("JPEG", **how)
    assert ImageChops.difference(opened(data), kept(data)).getbbox() is None


def test_jpeg_with_fill_bytes_before_a_marker() -> None:
    data = saved(noise(), "JPEG")
    filled = data.replace(b"\xff\xdb", b"\xff\xff\xff\xdb", 1)
    assert ingest(filled).original == data


def test_second_picture_within_a_jpeg_is_gone() -> None:
    file = BytesIO()
    noise().save(file, "MPO", save_all=True, append_images=[quarters()])
    original = ingest(file.getvalue()).original
    assert original.count(b"\xff\xd8\xff") == 1
    assert b"MPF" not in original


def test_colour_profiles_stay() -> None:
    profile = b"a profile of some length" * 8
    for name in ("JPEG", "PNG", "WEBP"):
        assert kept(saved(noise(), name, icc_profile=profile)).info["icc_profile"] == profile


def test_png_text_is_gone() -> None:
    notes = PngInfo()
    notes.add_text("Location", "57.467 N")
    notes.add_itxt("XML:com.adobe.xmp", XMP.decode(), zip=True)
    assert kept(saved(noise(), "PNG", pnginfo=notes)).info == {}


def test_png_block_after_the_picture_is_read() -> None:
    data = saved(quarters(), "PNG")
    late = data[:-12] + chunk(b"eXIf", exif(orientation=6).removeprefix(b"Exif\0\0")) + data[-12:]
    photo = ingest(late)
    assert (photo.width, photo.height) == (48, 64)
    assert not opened(photo.original).getexif().get_ifd(GPS)


def test_webp_says_what_it_still_carries() -> None:
    bare = saved(noise(), "WEBP", xmp=XMP)
    assert webp.strip(bare, b"")[20] & 0x0C == 0
    assert webp.strip(bare, exif())[20] & 0x0C == 0x08


def test_heic_box_of_another_kind_is_emptied() -> None:
    data = saved(noise(), "HEIF")
    film = box(b"mpvd", b"a film of the place")
    original = ingest(data + film).original
    assert original == data + box(b"free", bytes(len(film) - 8))


def test_heic_block_with_no_room_is_emptied() -> None:
    data = saved(noise(), "HEIF", exif=exif(time="", offset=""))
    assert b"2026:07:04" not in heif.strip(data, b"Exif\0\0" + b"2026:07:04" * 100)


@pytest.mark.parametrize("name", FORMATS)
@pytest.mark.parametrize("share", [0.1, 0.4, 0.9, 0.999])
def test_cut_off_it_is_malformed_or_no_longer_decodes(name: str, share: float) -> None:
    data = sent(name)
    with pytest.raises((Malformed, OSError, SyntaxError, ValueError)):
        opened(STRIP[name](data[: int(len(data) * share)], b"")).load()


@pytest.mark.parametrize(
    "data",
    [
        b"\xff\xd8",
        b"\xff\xd8\xff\xdb",
        b"\xff\xd8\xff\xdb\0\1",
        b"\xff\xd8\xff\xdb\0\7abc",
        b"\xff\xd8\xff\xda\0\2abc",
    ],
)
def test_malformed_jpeg(data: bytes) -> None:
    with pytest.raises(Malformed):
        jpeg.strip(data, b"")


@pytest.mark.parametrize("rest", [b"", b"\0\0\0", b"\0\0\0\4IHDR", b"\xff\xff\xff\xffIDAT"])
def test_malformed_png(rest: bytes) -> None:
    with pytest.raises(Malformed):
        png.strip(b"\x89PNG\r\n\x1a\n" + rest, b"")


@pytest.mark.parametrize(
    "data",
    [b"RIFF\xff\0\0\0WEBP", b"RIFF\x10\0\0\0WEBPVP8 \xff\xff\0\0data", b"RIFF\x0c\0\0\0WEBPVP8X\0\0\0\0"],
)
def test_malformed_webp(data: bytes) -> None:
    with pytest.raises(Malformed):
        webp.strip(data, b"")


INFE = box(b"infe", b"\2\0\0\0" + b"\0\1" + b"\0\0" + b"Exif\0")
IINF = box(b"iinf", b"\0\0\0\0" + b"\0\1" + INFE)


def iloc(sizes: bytes, method: int = 0, offset: int = 0, length: int = 4) -> bytes:
    item = b"\0\1" + bytes([0, method]) + b"\0\0" + b"\0\1" + offset.to_bytes(4) + length.to_bytes(4)
    return box(b"iloc", b"\1\0\0\0" + sizes + b"\0\1" + item)


@pytest.mark.parametrize(
    "inside",
    [
        b"",
        IINF,
        IINF + IINF + iloc(b"\x44\0"),
        box(b"iinf", b"\0\0\0\0\0\1" + box(b"infe", b"\0\0\0\0\0\1\0\0")) + iloc(b"\x44\0"),
        IINF + iloc(b"\0\0"),
        IINF + iloc(b"\x44\0", offset=9000),
        IINF + iloc(b"\x44\0", method=1),
        IINF + iloc(b"\x44\0", method=2),
        IINF + box(b"iloc", b"\1\0\0\0\x44\0\0\7"),
    ],
)
def test_malformed_heif(inside: bytes) -> None:
    with pytest.raises(Malformed):
        heif.strip(box(b"ftyp", b"heic\0\0\0\0") + box(b"meta", b"\0\0\0\0" + inside), b"")


def test_heif_without_boxes_is_malformed() -> None:
    with pytest.raises(Malformed):
        heif.strip(b"\0\0\0\1ftyp", b"")


def test_metadata_in_the_meta_box_are_emptied() -> None:
    idat = box(b"idat", b"xxGPS!yy")
    data = box(b"ftyp", b"heic\0\0\0\0") + box(b"meta", b"\0\0\0\0" + IINF + iloc(b"\x44\0", 1, 2) + idat)
    assert heif.strip(data, b"")[-8:] == b"xx\0\0\0\0yy"
