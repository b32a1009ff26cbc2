"""The server behind the page: uvicorn on one address, what is noted on the error stream."""

from __future__ import annotations

import socket
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from crib.errors import BadValue
from crib.page.app import PageApp
from crib.page.guard.addresses import hosts_of, places
from crib.page.guard.write_log import note_in

PORT = 8321
MOST_AT_ONCE = 200


@dataclass(frozen=True)
class Serving:
    """Where the page is served: an address, a port, more names that the machine goes by."""

    listen: str = "127.0.0.1"
    port: int = PORT
    names: tuple[str, ...] = ()
    log: Path | None = None

    def places(self) -> tuple[str, ...]:
        """The addresses to type."""
        return places(self.listen, self.port, "http", self.names)


def serve(crib: Path, serving: Serving) -> None:
    """Serve the page until it is stopped.

    Raises:
        BadValue: for an address that this machine does not have, or a port that is taken.
    """
    require_free(serving)
    note_in(serving.log)
    app = PageApp(crib, hosts_of(serving.listen, serving.names))
    server_of(app, serving).run()


def server_of(app: PageApp, serving: Serving) -> uvicorn.Server:
    """The server of a page; it trusts no header that says who asks, and does not name itself."""
    config = uvicorn.Config(
        app.asgi(),
        host=serving.listen,
        port=serving.port,
        log_level="warning",
        server_header=False,
        proxy_headers=False,
        limit_concurrency=MOST_AT_ONCE,
        timeout_graceful_shutdown=3,
    )
    return uvicorn.Server(config)


def require_free(serving: Serving) -> None:
    """Nothing, where the page can listen.

    Raises:
        BadValue: where it cannot.
    """
    where = f"{serving.listen} port {serving.port}"
    try:
        family = socket.getaddrinfo(serving.listen, serving.port)[0][0]
        with socket.socket(family, socket.SOCK_STREAM) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind((serving.listen, serving.port))
    except OSError as error:
        message = f"the page cannot listen at {where}: {error.strerror or error}"
        way_out = "another program, or the page itself, may run there; choose another port"
        raise BadValue(message, way_out=way_out) from error


def is_served(serving: Serving) -> bool:
    """Whether something listens there already."""
    with suppress(BadValue):
        require_free(serving)
        return False
    return True
