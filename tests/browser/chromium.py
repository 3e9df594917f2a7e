"""Debian's Chromium as a tablet: its switches and the two ways a tablet is held."""

from typing import Any

from playwright.sync_api import ViewportSize

EXECUTABLE = "/usr/bin/chromium"
QUIET = (
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-sync",
    "--no-first-run",
    "--disable-domain-reliability",
    "--metrics-recording-only",
)
LAUNCH: dict[str, Any] = {"executable_path": EXECUTABLE, "args": list(QUIET)}
LANDSCAPE = (1180, 820)
PORTRAIT = (820, 1180)
PHONE: ViewportSize = {"width": 390, "height": 844}


def tablet(size: tuple[int, int]) -> dict[str, Any]:
    """What a browser context needs to be this tablet."""
    return {
        "viewport": {"width": size[0], "height": size[1]},
        "has_touch": True,
        "is_mobile": True,
        "device_scale_factor": 1,
        "locale": "en-GB",
    }
