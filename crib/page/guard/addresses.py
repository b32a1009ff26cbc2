"""Where the page can be reached: the names and addresses that a phone may type."""

from __future__ import annotations

import socket
from contextlib import suppress
from ipaddress import ip_address

from crib.page.guard.hosts import LOOPBACK_NAMES, is_loopback

EVERYWHERE = ("0.0.0.0", "::")
_NOWHERE = ("192.0.2.1", "2001:db8::1")
"""Addresses of documentation (RFC 5737, RFC 3849): asked for the way there, nothing is sent."""


def own_addresses() -> tuple[str, ...]:
    """The addresses of this machine in its networks, the way out first."""
    found: dict[str, None] = {}
    for family, far in zip((socket.AF_INET, socket.AF_INET6), _NOWHERE, strict=True):
        with suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as probe:
            probe.connect((far, 9))
            found[str(probe.getsockname()[0])] = None
    with suppress(OSError):
        for entry in socket.getaddrinfo(socket.gethostname(), None):
            found[str(entry[4][0]).partition("%")[0]] = None
    return tuple(one for one in found if not is_loopback(one))


def own_names() -> tuple[str, ...]:
    """What this machine is called in its network."""
    name = socket.gethostname().lower().strip(".")
    return (name, name if name.endswith(".local") else f"{name.partition('.')[0]}.local")


def hosts_of(listen: str, names: tuple[str, ...] = ()) -> frozenset[str]:
    """Every name that a request may call the page by, when it listens at an address."""
    said = {*LOOPBACK_NAMES, *(name.lower() for name in names), in_address(listen).lower()}
    if is_loopback(listen) or listen in LOOPBACK_NAMES:
        return frozenset(said)
    return frozenset(said | {*own_names(), *map(in_address, own_addresses())})


def places(listen: str, port: int, scheme: str, names: tuple[str, ...] = ()) -> tuple[str, ...]:
    """The addresses to type, as a browser takes them."""
    hosts = names or (own_addresses() if listen in EVERYWHERE else (listen,))
    return tuple(f"{scheme}://{in_address(host)}:{port}/" for host in hosts)


def in_address(host: str) -> str:
    """A host as it stands in an address: IPv6 in brackets."""
    with suppress(ValueError):
        return f"[{host}]" if ip_address(host).version == 6 else host
    return host
