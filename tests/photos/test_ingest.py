from datetime import UTC, datetime
from hashlib import sha256

import pytest
from PIL import Image, ImageCms

from shared.photos.ingest import Photo, ingest
from tests.photos.pictures import BLUE, GREEN, RED, YELLOW, exif, noise, opened, quarters, saved

FORMATS = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp", "HEIF": "image/heif"}
CORNERS = {
    1: (RED, GREEN, BLUE, YELLOW),
    2: (GREEN, RED, YELLOW, BLUE),
    3: (YELLOW, BLUE, GREEN, RED),
    4: (BLUE, YELLOW, RED, GREEN),
    5: (RED, BLUE, GREEN, YELLOW),
    6: (BLUE, RED, YELLOW, GREEN),
    7: (YELLOW, GREEN, BLUE, RED),
    8: (GREEN, YELLOW, RED, BLUE),
}


def corners(image: Image.Image) -> list[tuple[int, ...]]:
    """The colours an eighth of the way in from each corner."""
    x, y = image.width // 8, image.height // 8
    places = ((x, y), (image.width - x, y), (x, image.height - y), (image.width - x, image.height - y))
    return [image.getpixel(place) for place in places]  # type: ignore[misc]


def alike(one: tuple[int, ...], other: tuple[int, ...]) -> bool:
    return all(abs(a - b) < 25 for a, b in zip(one, other, strict=True))


def grey(photo: Photo, x: int) -> int:
    return opened(photo.display).convert("L").getpixel((x, 8))  # type: ignore[return-value]


@pytest.mark.parametrize("name", FORMATS)
def test_each_format_is_taken_in(name: str) -> None:
    photo = ingest(saved(quarters(), name))
    assert (photo.content_type, photo.width, photo.height) == (FORMATS[name], 64, 48)
    assert all(map(alike, corners(opened(photo.display)), CORNERS[1]))


def test_both_digests_are_of_their_bytes() -> None:
    data = saved(quarters(), "JPEG", exif=exif())
    photo = ingest(data)
    assert photo.sent_sha256 == sha256(data).hexdigest()
    assert photo.kept_sha256 == sha256(photo.original).hexdigest() != photo.sent_sha256


def test_photo_without_metadata_is_kept_as_it_was_sent() -> None:
    photo = ingest(saved(quarters(), "JPEG"))
    assert photo.kept_sha256 == photo.sent_sha256


@pytest.mark.parametrize("orientation", CORNERS)
@pytest.mark.parametrize("name", ["JPEG", "PNG", "WEBP"])
def test_held_any_way_it_is_shown_upright(name: str, orientation: int) -> None:
    photo = ingest(saved(quarters(), name, exif=exif(orientation=orientation)))
    shown = opened(photo.display)
    assert shown.size == (photo.width, photo.height) == ((64, 48) if orientation < 5 else (48, 64))
    assert all(map(alike, corners(shown), CORNERS[orientation]))


@pytest.mark.parametrize("orientation", CORNERS)
def test_heic_turned_by_its_decoder_is_turned_once(orientation: int) -> None:
    photo = ingest(saved(quarters(), "HEIF", exif=exif(orientation=orientation)))
    assert all(map(alike, corners(opened(photo.display)), CORNERS[orientation]))
    assert opened(photo.display).size == (photo.width, photo.height)


@pytest.mark.parametrize("orientation", [0, 9, 65535])
def test_orientation_that_cannot_be_is_none(orientation: int) -> None:
    photo = ingest(saved(quarters(), "JPEG", exif=exif(orientation=orientation)))
    assert all(map(alike, corners(opened(photo.display)), CORNERS[1]))


@pytest.mark.parametrize(
    ("size", "display", "thumb"),
    [
        ((2400, 1800), (1280, 960), (320, 240)),
        ((1500, 2000), (960, 1280), (240, 320)),
        ((800, 600), (800, 600), (320, 240)),
        ((40, 30), (40, 30), (40, 30)),
        ((5000, 2), (1280, 1), (320, 1)),
    ],
)
def test_long_edge_of_the_copies(size: tuple[int, int], display: tuple[int, int], thumb: tuple[int, int]) -> None:
    photo = ingest(saved(quarters(*size), "JPEG"))
    assert (opened(photo.display).size, opened(photo.thumb).size) == (display, thumb)


@pytest.mark.parametrize("name", FORMATS)
def test_copies_carry_nothing_but_the_picture(name: str) -> None:
    photo = ingest(saved(noise(), name, exif=exif(orientation=6)))
    for copy in (photo.display, photo.thumb):
        assert opened(copy).format == "JPEG"
        assert not opened(copy).getexif()
        assert b"Maker" not in copy


def test_time_by_the_offset_the_camera_states() -> None:
    photo = ingest(saved(quarters(), "JPEG", exif=exif()), zone="Pacific/Auckland")
    assert photo.taken_at == datetime(2026, 7, 4, 8, 15, tzinfo=UTC)


@pytest.mark.parametrize(("zone", "hour"), [("Europe/London", 8), ("UTC", 9)])
def test_time_by_the_branch_where_the_camera_states_no_offset(zone: str, hour: int) -> None:
    photo = ingest(saved(quarters(), "JPEG", exif=exif(offset="")), zone=zone)
    assert photo.taken_at == datetime(2026, 7, 4, hour, 15, tzinfo=UTC)


def test_clock_without_a_zone_tells_no_time() -> None:
    assert ingest(saved(quarters(), "JPEG", exif=exif(offset=""))).taken_at is None


@pytest.mark.parametrize("time", ["", "0000:00:00 00:00:00", "2026:13:04 09:15:00", "yesterday", "0001:01:01 00:00:00"])
def test_time_that_cannot_be_is_none(time: str) -> None:
    assert ingest(saved(quarters(), "JPEG", exif=exif(time=time, offset="+14:00"))).taken_at is None


def test_time_of_the_file_where_there_is_no_other() -> None:
    block = Image.Exif()
    block[0x0132] = "2026:07:04 09:15:00"
    photo = ingest(saved(quarters(), "JPEG", exif=block.tobytes()), zone="UTC")
    assert photo.taken_at == datetime(2026, 7, 4, 9, 15, tzinfo=UTC)


@pytest.mark.filterwarnings("ignore:Corrupt EXIF data")
def test_block_that_cannot_be_read_is_no_loss() -> None:
    photo = ingest(saved(quarters(), "JPEG", exif=b"Exif\0\0II*\0\xff\xff\xff\xff"))
    assert (photo.taken_at, photo.width) == (None, 64)
    assert b"Exif" not in photo.original


@pytest.mark.parametrize(
    ("mode", "name"),
    [("L", "JPEG"), ("CMYK", "JPEG"), ("1", "PNG"), ("L", "PNG"), ("P", "PNG"), ("LA", "PNG"), ("RGBA", "WEBP")],
)
def test_every_kind_of_colour_is_shown(mode: str, name: str) -> None:
    shown = opened(ingest(saved(quarters(mode=mode), name)).display)
    assert (shown.mode, shown.size) == ("RGB", (64, 48))


def test_grey_of_16_bits_is_not_clipped() -> None:
    steps = Image.new("I;16", (48, 16))
    for x in range(48):
        for y in range(16):
            steps.putpixel((x, y), (0, 32768, 65535)[x // 16])
    photo = ingest(saved(steps, "PNG"))
    assert [round(grey(photo, x) / 16) for x in (8, 24, 40)] == [0, 8, 16]


@pytest.mark.parametrize("name", ["PNG", "WEBP", "HEIF"])
def test_what_is_transparent_is_shown_on_white(name: str) -> None:
    photo = ingest(saved(Image.new("RGBA", (32, 32), (0, 0, 0, 0)), name))
    assert grey(photo, 8) > 250


def test_transparent_colour_of_a_palette_is_white() -> None:
    image = Image.new("P", (32, 32), 0)
    image.putpalette([0, 0, 0, 255, 255, 255])
    assert grey(ingest(saved(image, "PNG", transparency=0)), 8) > 250


def test_colours_of_another_space_become_srgb() -> None:
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("XYZ")).tobytes()
    plain, profiled = (ingest(saved(quarters(), "JPEG", icc_profile=profile)) for profile in (None, lab))
    assert alike(corners(opened(profiled.display))[0], corners(opened(plain.display))[0])
    assert not opened(profiled.display).info.get("icc_profile")


def test_profile_that_is_none_is_passed_over() -> None:
    photo = ingest(saved(quarters(), "JPEG", icc_profile=b"not a profile"))
    assert all(map(alike, corners(opened(photo.display)), CORNERS[1]))


@pytest.mark.parametrize("name", ["PNG", "WEBP"])
def test_of_an_animation_the_first_picture_is_shown(name: str) -> None:
    red, blue = (Image.new("RGB", (32, 32), colour) for colour in (RED, BLUE))
    photo = ingest(saved(red, name, save_all=True, append_images=[blue], duration=100))
    assert alike(corners(opened(photo.display))[0], RED)


def test_same_bytes_give_the_same_photo() -> None:
    data = saved(noise(), "JPEG", exif=exif())
    assert ingest(data) == ingest(data)
