"""The way in: every request passes here first, and every answer leaves with the headers."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping, MutableMapping
from dataclasses import dataclass, field
from typing import Any

from starlette.datastructures import Headers
from starlette.responses import PlainTextResponse, RedirectResponse, Response

from crib.page.guard.headers import HEADERS
from crib.page.guard.hosts import LOOPBACK_NAMES, SAFE_METHODS, is_known_host, is_own_post
from crib.page.guard.pairing import device_of

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
Asgi = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_BYTES = 64 * 1024
MOST_PHOTO_BYTES = 12 * 1024 * 1024
OPEN_PLACES = ("/pair", "/static/", "/language")
PHOTO_PLACES = ("/scan/photo",)


@dataclass
class Gate:
    """Host, origin, size, pairing; then the page. ``scope["device"]`` is the device that asks."""

    app: Asgi
    hosts: frozenset[str] = field(default_factory=lambda: frozenset(LOOPBACK_NAMES))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it with the refusal that meets it first."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def sent(message: MutableMapping[str, Any]) -> None:
            if message["type"] == "http.response.start":
                carried = [(name.encode(), text.encode()) for name, text in HEADERS.items()]
                message["headers"] = [*message.get("headers", ()), *carried]
            await send(message)

        refusal = self._refusal(scope, Headers(scope=scope))
        if refusal is not None:
            await refusal(scope, receive, sent)
            return
        await self.app(scope, _bounded(receive, scope["path"]), sent)

    def _refusal(self, scope: Scope, headers: Mapping[str, str]) -> Response | None:
        path = scope["path"]
        if not is_known_host(headers, self.hosts):
            return PlainTextResponse("this is not a name of the crib", 421)
        if _length(headers) > _most_bytes(path):
            return PlainTextResponse("more than the crib takes at once", 413)
        if not is_own_post(scope["method"], scope["scheme"], headers):
            return PlainTextResponse("sent from another page", 403)
        device = device_of(scope["client"][0] if scope["client"] else "", headers)
        scope["device"] = device
        if device is not None or path.startswith(OPEN_PLACES):
            return None
        if scope["method"] in SAFE_METHODS and "application/json" not in headers.get("accept", ""):
            return RedirectResponse("/pair", 303)
        return PlainTextResponse("this device is not paired with the crib", 401)


class TooLong(Exception):
    """A body that went on after what it said, or never said, its length was."""


def _bounded(receive: Receive, path: str) -> Receive:
    left = _most_bytes(path)

    async def bounded() -> MutableMapping[str, Any]:
        nonlocal left
        message = await receive()
        left -= len(message.get("body", b""))
        if left < 0:
            raise TooLong
        return message

    return bounded


def _most_bytes(path: str) -> int:
    return MOST_PHOTO_BYTES if path in PHOTO_PLACES else MOST_BYTES


def _length(headers: Mapping[str, str]) -> int:
    text = headers.get("content-length", "0")
    return int(text) if text.isdecimal() else 0
