"""Where somebody stands who touched their name: a device, or one browser of the crib's own machine.

That machine's screen is one device, but several may be logged on to it, each with a browser.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping

from crib.page.guard.pairing import OWN_SCREEN, Device

COOKIE = "crib_screen"
_LONGEST = 64


def cookie_said(headers: Mapping[str, str], wanted: str) -> str:
    """What a cookie says; empty where it did not come."""
    for part in headers.get("cookie", "").split(";"):
        name, _equals, value = part.strip().partition("=")
        if name == wanted and value:
            return value
    return ""


def seat_of(device: Device, headers: Mapping[str, str]) -> str:
    """The seat of a request: its device, and which browser of this machine's own."""
    if device is not OWN_SCREEN:
        return device.key
    return f"{device.key} {cookie_said(headers, COOKIE)[:_LONGEST]}"


def new_seat() -> tuple[str, str]:
    """A seat for a browser of this machine, and the header that has it keep that till it closes."""
    made = secrets.token_hex(16)
    return f"{OWN_SCREEN.key} {made}", f"{COOKIE}={made}; Path=/; HttpOnly; SameSite=Lax"
