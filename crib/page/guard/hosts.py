"""Which names the page answers to, and from which pages a post may come."""

from __future__ import annotations

from collections.abc import Mapping
from ipaddress import ip_address
from urllib.parse import urlsplit

LOOPBACK_NAMES = ("localhost", "127.0.0.1", "[::1]")
SAFE_METHODS = ("GET", "HEAD", "OPTIONS")


def host_of(headers: Mapping[str, str]) -> str:
    """The host a request names, without its port, in small letters."""
    host = headers.get("host", "").strip().lower()
    if host.startswith("["):
        return host[: host.find("]") + 1]
    return host.partition(":")[0]


def is_known_host(headers: Mapping[str, str], allowed: frozenset[str]) -> bool:
    """Whether the page is reached by one of its own names; a stranger's name may point here too."""
    return host_of(headers) in allowed


def is_own_post(method: str, scheme: str, headers: Mapping[str, str]) -> bool:
    """Whether a request that may write comes from this page itself.

    A browser says so by ``Sec-Fetch-Site`` where it is sure of the connection, else by ``Origin``.
    A program that sends neither carries no cookie; with one it is refused.
    """
    if method in SAFE_METHODS:
        return True
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site in ("same-origin", "none")
    origin = headers.get("origin")
    if origin is None:
        return "cookie" not in headers
    found = urlsplit(origin)
    return bool(found.netloc) and (found.scheme, found.netloc) == (scheme, headers.get("host", ""))


def is_loopback(address: str) -> bool:
    """Whether an address is this machine itself."""
    try:
        return ip_address(address).is_loopback
    except ValueError:
        return False
