"""A crib served by its own command, as a shop starts it."""

from __future__ import annotations

import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

START_SECONDS = 30.0


def free_port() -> int:
    """A port that nobody listens on now."""
    with socket.socket() as tried:
        tried.bind(("127.0.0.1", 0))
        return int(tried.getsockname()[1])


@dataclass(frozen=True)
class Server:
    """A server that runs: its address, its process, and others that do its work beside it."""

    address: str
    pid: int
    beside: tuple[int, ...] = ()

    def processor_seconds(self) -> float:
        """What it and what works beside used of the processor since they began."""
        return self._counted(0)

    def held_up_seconds(self) -> float:
        """How long its threads, and what works beside, had to let other programs go first."""
        return self._counted(1)

    def _counted(self, column: int) -> float:
        """A figure of the system's own table of each thread, in all."""
        every = (self.pid, *self.beside)
        tasks = (one for pid in every for one in Path(f"/proc/{pid}/task").glob("*/schedstat"))
        return sum(int(task.read_text("ascii").split()[column]) for task in tasks) / 1e9


@contextmanager
def served(crib: Path, *options: str, port: int = 0) -> Iterator[str]:
    """The address of a crib that is served until the block ends."""
    with serving(crib, *options, port=port) as server:
        yield server.address


@contextmanager
def serving(crib: Path | str, *options: str, port: int = 0) -> Iterator[Server]:
    """A server of a crib, a file or an address, that runs until the block ends."""
    port = port or free_port()
    words = ["serve", "--crib", str(crib), "--port", str(port), *options]
    with subprocess.Popen(
        [sys.executable, "-m", "crib", *words], stdout=subprocess.DEVNULL
    ) as server:
        try:
            address = f"http://localhost:{port}"
            _await(address, server)
            yield Server(address, server.pid)
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
