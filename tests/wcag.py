"""Contrast as WCAG 2.2 defines it: https://www.w3.org/TR/WCAG22/#dfn-relative-luminance and #dfn-contrast-ratio."""


def channel(eight_bit: int) -> float:
    c = eight_bit / 255
    return c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4


def luminance(colour: str) -> float:
    """Relative luminance of "#rrggbb"."""
    red, green, blue = (channel(int(colour[i : i + 2], 16)) for i in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)
