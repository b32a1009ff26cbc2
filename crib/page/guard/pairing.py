"""Which device asks: one that was let in, this machine's own screen, or a stranger."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie

from crib.desk.book.pairing import device_showing
from crib.page.frame.request import May
from crib.page.guard.hosts import LOOPBACK_NAMES, host_of, is_loopback
from crib.stock.engine.session import Session

COOKIE = "crib_device"
COOKIE_HOLDS_S = 10 * 365 * 24 * 3600
PASSED_ON = ("forwarded", "x-forwarded-for", "x-forwarded-host", "via")


@dataclass(frozen=True)
class Device:
    """A device that may ask."""

    key: str
    name: str
    may: May = "all"
    is_program: bool = False
    site_id: int | None = None


OWN_SCREEN = Device("own-screen", "")
"""A browser on the machine that serves the page: whoever can start it can read the file anyway."""


@dataclass(frozen=True)
class Credential:
    """What a device shows: its cookie, or a program's token."""

    text: str
    is_program: bool = False


def is_own_screen(peer: str, headers: Mapping[str, str]) -> bool:
    """Whether the machine itself asks, by a name of its own and not for somebody behind it."""
    passed_on = any(name in headers for name in PASSED_ON)
    shows = "authorization" in headers
    here = is_loopback(peer) and host_of(headers) in LOOPBACK_NAMES
    return here and not passed_on and not shows


def credential_in(headers: Mapping[str, str], scheme: str) -> Credential | None:
    """What a request shows: a token before a cookie."""
    sort, _blank, token = headers.get("authorization", "").partition(" ")
    if sort:
        return Credential(token.strip(), is_program=True) if sort.lower() == "bearer" else None
    cookies = SimpleCookie()
    try:
        cookies.load(headers.get("cookie", ""))
    except CookieError:
        return None
    found = cookies.get(cookie_name(scheme))
    return Credential(found.value) if found and found.value else None


def device_behind(session: Session, shown: Credential) -> Device | None:
    """The device that was let in with what is shown; None for a stranger."""
    sort = "program" if shown.is_program else "browser"
    found = device_showing(session, shown.text, sort)
    if found is None:
        return None
    key = f"{found.number}-{found.token_hash[:16]}"
    may: May = "look" if found.may == "look" else "all"
    return Device(key, found.name, may, shown.is_program, found.site_id)


def cookie_name(scheme: str) -> str:
    """The cookie's name; over TLS one that no other host can set."""
    return f"__Host-{COOKIE}" if scheme == "https" else COOKIE


def cookie_for(credential: str, scheme: str) -> str:
    """The header that gives a browser its cookie.

    Lax, since a label's code opens the page from the camera's app: Strict would leave it out there.
    """
    secure = "; Secure" if scheme == "https" else ""
    kept = f"Path=/; Max-Age={COOKIE_HOLDS_S}; HttpOnly; SameSite=Lax{secure}"
    return f"{cookie_name(scheme)}={credential}; {kept}"
