"""Which names the page answers to, and from which pages a post may come."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
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


def is_known_host(headers: Mapping[str, str], allowed: frozenset[str], reached: str = "") -> bool:
    """Whether the page is reached by one of its own names; a stranger's name may point here too.

    ``reached`` is the address at which the request came in: nobody else's name can be that.
    """
    host = host_of(headers)
    return bool(host) and (host in allowed or host.strip("[]") == reached)


def is_own_post(method: str, scheme: str, headers: Mapping[str, str]) -> bool:
    """Whether a request that may write comes from this page itself.

    A browser says so by ``Sec-Fetch-Site`` where it is sure of the connection, else by ``Origin``.
    A program that sends neither carries no cookie; with one it is refused. A token, which no
    browser sends by itself, needs neither, unless a cookie came with it.
    """
    if method in SAFE_METHODS:
        return True
    if "authorization" in headers and "cookie" not in headers:
        return True
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site in ("same-origin", "none")
    origin = headers.get("origin")
    if origin is None:
        return "cookie" not in headers
    try:
        found = urlsplit(origin)
    except ValueError:
        return False
    host = headers.get("host", "").strip().lower()
    return bool(found.netloc) and (found.scheme, found.netloc.lower()) == (scheme, host)


@lru_cache(maxsize=100)
def is_loopback(address: str) -> bool:
    """Whether an address is this machine itself."""
    try:
        return ip_address(address).is_loopback
    except ValueError:
        return False
