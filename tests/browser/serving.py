"""A crib served by its own command, as a shop starts it."""

from __future__ import annotations

import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

START_SECONDS = 30.0


def free_port() -> int:
    """A port that nobody listens on now."""
    with socket.socket() as tried:
        tried.bind(("127.0.0.1", 0))
        return int(tried.getsockname()[1])


@contextmanager
def served(crib: Path, *options: str, port: int = 0) -> Iterator[str]:
    """The address of a crib that is served until the block ends."""
    port = port or free_port()
    words = ["serve", "--crib", str(crib), "--port", str(port), *options]
    with subprocess.Popen(
        [sys.executable, "-m", "crib", *words], stdout=subprocess.DEVNULL
    ) as server:
        try:
            address = f"http://localhost:{port}"
            _await(address, server)
            yield address
        finally:
            server.terminate()
            server.wait(10)


def _await(address: str, server: subprocess.Popen[bytes]) -> None:
    deadline = time.monotonic() + START_SECONDS
    while True:
        try:
            with urlopen(address, timeout=2):
                return
        except URLError:
            if server.poll() is not None or time.monotonic() > deadline:
                message = f"the server of {address} did not start"
                raise RuntimeError(message) from None
            time.sleep(0.1)
