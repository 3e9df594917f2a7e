"""From a decoded picture to small upright JPEGs in sRGB."""

from io import BytesIO
from math import ceil

from PIL import Image, ImageCms
from PIL.Image import Resampling, Transpose

# A tablet sends a long edge of 2560 (static/js/camera.js): half of that a JPEG decoder makes by itself, three times as
# fast as a filter makes any other size near it.
DISPLAY_EDGE, THUMB_EDGE = 1280, 320
QUALITY = 82
PAPER = (255, 255, 255, 255)
SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
# By EXIF's orientation: what turns the picture upright.
TURN = {
    2: Transpose.FLIP_LEFT_RIGHT,
    3: Transpose.ROTATE_180,
    4: Transpose.FLIP_TOP_BOTTOM,
    5: Transpose.TRANSPOSE,
    6: Transpose.ROTATE_270,
    7: Transpose.TRANSVERSE,
    8: Transpose.ROTATE_90,
}


def display_and_thumb(image: Image.Image, orientation: int) -> tuple[bytes, bytes]:
    """JPEGs with a long edge of 1280 and of 320 pixels, or as large as the picture is.

    orientation is EXIF's, 1 to 8. The picture is shrunk before all else, so that the rest costs little.
    """
    if image.format == "JPEG":
        _decode_smaller(image)
    profile = image.info.get("icc_profile")
    shown = _in_a_mode_to_shrink(image)
    _shrink(shown, DISPLAY_EDGE)
    if orientation in TURN:
        shown = shown.transpose(TURN[orientation])
    shown = _srgb(_on_paper(shown), profile)
    display = _jpeg(shown)
    _shrink(shown, THUMB_EDGE)
    return display, _jpeg(shown)


def _decode_smaller(image: Image.Image) -> None:
    """Let the JPEG decoder skip detail that is not shown: twice as fast, a quarter of the memory.

    The size asked for has the picture's own shape; a square would ask the short side for more than it gives.
    """
    scale = DISPLAY_EDGE / max(image.size)
    if scale < 1:
        image.draft(None, (ceil(image.width * scale), ceil(image.height * scale)))


def _in_a_mode_to_shrink(image: Image.Image) -> Image.Image:
    """Greys of 16 bits as 8, palettes as colours."""
    if image.mode.startswith("I"):
        return image.point(lambda value: value / 256).convert("L")  # a plain convert would clip at 255
    if image.mode in {"RGB", "L", "CMYK", "RGBA", "LA"} and "transparency" not in image.info:
        return image
    return image.convert("RGBA" if image.has_transparency_data else "RGB")


def _shrink(image: Image.Image, edge: int) -> None:
    # Pillow's own filter for making smaller: a third of Lanczos' reach, as good as bicubic by its documentation.
    image.thumbnail((edge, edge), Resampling.HAMMING, reducing_gap=2.0)


def _on_paper(image: Image.Image) -> Image.Image:
    """What is transparent as white."""
    if not image.has_transparency_data:
        return image
    paper = Image.new("RGBA", image.size, PAPER)
    paper.alpha_composite(image.convert("RGBA"))
    return paper.convert("RGB")


def _srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """Colours as every screen and printer takes them, since the JPEGs carry no profile."""
    try:
        source = ImageCms.ImageCmsProfile(BytesIO(profile)) if profile else None
        if source and "sRGB" not in ImageCms.getProfileDescription(source):
            return ImageCms.profileToProfile(image, source, SRGB, outputMode="RGB") or image
    except (ImageCms.PyCMSError, OSError, ValueError):
        pass  # a profile that does not fit its picture: the colours are taken as they stand
    return image.convert("RGB")


def _jpeg(image: Image.Image) -> bytes:
    file = BytesIO()
    image.save(file, "JPEG", quality=QUALITY)
    return file.getvalue()
