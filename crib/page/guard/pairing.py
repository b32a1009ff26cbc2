"""Which device asks: one that was paired, or this machine's own screen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from crib.page.frame.request import May
from crib.page.guard.hosts import LOOPBACK_NAMES, host_of, is_loopback


@dataclass(frozen=True)
class Device:
    """A device that may ask."""

    key: str
    name: str
    may: May = "all"


OWN_SCREEN = Device("own-screen", "")
"""A browser on the machine that serves the page: whoever can start it can read the file anyway."""


def device_of(peer: str, headers: Mapping[str, str]) -> Device | None:
    """The device behind a request; None for a stranger."""
    if is_loopback(peer) and host_of(headers) in LOOPBACK_NAMES:
        return OWN_SCREEN
    return None
