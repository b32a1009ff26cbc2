"""The way in: every request passes here first, and every answer leaves with the headers."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping, MutableMapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import quote

from starlette.responses import RedirectResponse, Response

from crib.errors import CribError
from crib.page.guard.body_limit import bounded, most_bytes, stated_bytes
from crib.page.guard.headers import HEADERS, NOT_KEPT
from crib.page.guard.hosts import LOOPBACK_NAMES, SAFE_METHODS, is_known_host, is_own_post
from crib.page.guard.pairing import OWN_SCREEN, Credential, Device, credential_in, is_own_screen
from crib.page.guard.plain_page import fault_page, plain_page, wants_json
from crib.page.guard.rates import DEVICE, PAIRING, PIN, STRANGER, Rates
from crib.page.guard.wellformed import is_well_formed
from crib.page.guard.write_log import note_fault

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
Asgi = Callable[[Scope, Receive, Send], Awaitable[None]]
LookUp = Callable[[Credential], Awaitable[Device | None]]

STATIC = "/static/"
OPEN_PLACES = ("/pair", STATIC, "/language", "/trust")
LOOKERS_PLACES = ("/pair", "/language")
PAIR, PIN_PLACE = "/pair", "/who/pin"


async def _nobody(_shown: Credential) -> Device | None:
    return None


@dataclass
class Gate:
    """Bytes, host, size, origin, device, rate; then the page.

    ``scope["device"]`` is the device that asks, None for a stranger at an open place.
    """

    app: Asgi
    hosts: frozenset[str] = field(default_factory=lambda: frozenset(LOOPBACK_NAMES))
    look_up: LookUp = _nobody
    rates: Rates = field(default_factory=Rates)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it with the refusal that meets it first."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        begun = False
        carried = _OF_FILES if scope["path"].startswith(STATIC) else _OF_PAGES

        async def sent(message: MutableMapping[str, Any]) -> None:
            nonlocal begun
            if message["type"] == "http.response.start":
                begun = True
                message["headers"] = [*message.get("headers", ()), *carried]
            await send(message)

        headers = _first_of_each(scope)
        try:
            refusal = await self._refusal(scope, headers)
            answer: Asgi = self.app if refusal is None else refusal
            await answer(scope, bounded(receive, scope["path"]), sent)
        except Exception:
            note_fault(scope["method"], scope["path"])
            if not begun:
                await plain_page(500, headers)(scope, receive, sent)

    async def _refusal(self, scope: Scope, headers: Mapping[str, str]) -> Response | None:
        return _unfit(scope, headers, self.hosts) or await self._from_stranger(scope, headers)

    async def _from_stranger(self, scope: Scope, headers: Mapping[str, str]) -> Response | None:
        """The refusal of a request from nobody that was let in, or too many of one's own."""
        path, peer = scope["path"], scope["client"][0] if scope["client"] else ""
        try:
            device = await self._device(scope, headers, peer)
        except CribError as error:
            return fault_page(error, 503, headers)
        scope["device"] = device
        wait_s = self._wait_s(scope["method"], path, peer, device)
        if wait_s:
            return plain_page(429, headers, more={"retry-after": str(wait_s)})
        if device is None:
            return None if path.startswith(OPEN_PLACES) else _to_pairing(scope, headers)
        looks = device.may == "look" and scope["method"] not in SAFE_METHODS
        if looks and not path.startswith(LOOKERS_PLACES):
            return plain_page(403, headers, why="looks-only")
        return None

    async def _device(self, scope: Scope, headers: Mapping[str, str], peer: str) -> Device | None:
        if is_own_screen(peer, headers):
            return OWN_SCREEN
        shown = credential_in(headers, scope["scheme"])
        return await self.look_up(shown) if shown else None

    def _wait_s(self, method: str, path: str, peer: str, device: Device | None) -> int:
        who = device.key if device else peer
        if method == "POST" and path in (PAIR, PIN_PLACE):
            return self.rates.wait_s(who, PAIRING if path == PAIR else PIN)
        if device is OWN_SCREEN:
            return 0
        return self.rates.wait_s(who, DEVICE if device else STRANGER)


def _first_of_each(scope: Scope) -> dict[str, str]:
    """The headers of a request by name; of one that came twice the first."""
    sent = reversed(scope["headers"])
    return {name.decode("latin-1"): said.decode("latin-1") for name, said in sent}


def _unfit(scope: Scope, headers: Mapping[str, str], hosts: frozenset[str]) -> Response | None:
    """The refusal of a request that nobody may send."""
    reached = (scope.get("server") or ("",))[0]
    if not is_well_formed(scope):
        return plain_page(400, headers)
    if not is_known_host(headers, hosts, reached):
        return plain_page(421, headers)
    if stated_bytes(headers) > most_bytes(scope["path"]):
        return plain_page(413, headers)
    if not is_own_post(scope["method"], scope["scheme"], headers):
        return plain_page(403, headers)
    return None


def _to_pairing(scope: Scope, headers: Mapping[str, str]) -> Response:
    if scope["method"] in SAFE_METHODS and not wants_json(headers):
        query = scope["query_string"].decode()
        then = quote(scope["path"] + (f"?{query}" if query else ""))
        return RedirectResponse(f"/pair?then={then}", 303)
    return plain_page(401, headers, more={"www-authenticate": "Bearer"})


def _encoded(carried: Mapping[str, str]) -> list[tuple[bytes, bytes]]:
    return [(name.encode(), text.encode()) for name, text in carried.items()]


_OF_FILES, _OF_PAGES = _encoded(HEADERS), _encoded(HEADERS | NOT_KEPT)
