"""How much a request may send: what hands type, a photo where one is taken."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping, MutableMapping
from typing import Any

Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]

MOST_BYTES = 64 * 1024
MOST_PHOTO_BYTES = 12 * 1024 * 1024
PHOTO_PLACES = ("/scan/photo",)


class TooLong(Exception):
    """A body that went on after what it said, or never said, its length was."""


def bounded(receive: Receive, path: str) -> Receive:
    """What comes in, up to the most that a place takes."""
    left = most_bytes(path)

    async def counted() -> MutableMapping[str, Any]:
        nonlocal left
        message = await receive()
        left -= len(message.get("body", b""))
        if left < 0:
            raise TooLong
        return message

    return counted


def most_bytes(path: str) -> int:
    """The most bytes that a place takes."""
    return MOST_PHOTO_BYTES if path in PHOTO_PLACES else MOST_BYTES


def stated_bytes(headers: Mapping[str, str]) -> int:
    """How long the body is by what the request says."""
    text = headers.get("content-length", "0")
    return int(text[:20]) if text.isdecimal() else 0
