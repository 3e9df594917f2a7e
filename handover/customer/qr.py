"""An address as phones read it off a screen or paper."""

import segno
from django.utils.safestring import SafeString, mark_safe


def qr_of(address: str) -> SafeString:
    """Dark on white, whatever the light of the page: phones read it so."""
    drawn = segno.make_qr(address, error="m").svg_inline(border=2, dark="#1a1724", light="#ffffff", omitsize=True)
    return mark_safe(drawn)  # noqa: S308 - drawn from our own address
