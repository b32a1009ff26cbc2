"""The server behind the page: uvicorn on one address, one log line for each write."""

from __future__ import annotations

from pathlib import Path

import uvicorn

from crib.page.app import PageApp
from crib.page.guard.hosts import LOOPBACK_NAMES

PORT = 8321


def serve(
    crib: Path, host: str = "127.0.0.1", port: int = PORT, names: tuple[str, ...] = ()
) -> None:
    """Serve the page until it is stopped."""
    own = frozenset((*LOOPBACK_NAMES, host.lower(), *(name.lower() for name in names)))
    uvicorn.run(
        PageApp(crib, own).asgi(),
        host=host,
        port=port,
        log_level="warning",
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=3,
    )
