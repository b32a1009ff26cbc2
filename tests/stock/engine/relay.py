"""A wire between a program and the server that counts its trips, is slow, or is cut."""

from __future__ import annotations

import socket
import struct
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field

from crib.stock.engine.place import ServerPlace


@dataclass
class Relay:
    """A wire to a port. ``trips`` counts how often a program spoke and then had an answer."""

    target: int
    delay_s: float = 0.0
    """How long whatever is sent is on its way, in each direction."""
    trips: int = 0
    cut_at: int = 0
    """Cut when the program has spoken so often, or ..."""
    cut_words: bytes = b""
    """... said this, before the server heard it or, ..."""
    is_heard: bool = False
    """... where this is set, after: the server works on and nobody hears of it."""
    spoken: int = 0
    lines: list[socket.socket] = field(default_factory=list)
    _spoke: bool = False

    def __post_init__(self) -> None:
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._listening.getsockname()[1])
        self._threads: list[threading.Thread] = []
        self._begin(self._accept)

    def to(self, place: ServerPlace) -> ServerPlace:
        """A database as it is reached over this wire."""
        return ServerPlace(place.url.replace(f":{self.target}/", f":{self.port}/"))

    def cut(self) -> None:
        """Cut every connection at once; neither side is told more than that it is dead."""
        for line in self.lines:
            with suppress(OSError):
                line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
                line.shutdown(socket.SHUT_RDWR)

    def close(self) -> None:
        """Let no more through."""
        if self._listening.fileno() < 0:
            return
        self._listening.shutdown(socket.SHUT_RDWR)
        self.cut()
        for thread in self._threads:
            thread.join()
        for line in (self._listening, *self.lines):
            line.close()

    def _begin(self, do: Callable[..., None], *facts: object) -> None:
        thread = threading.Thread(target=do, args=facts, daemon=True)
        self._threads.append(thread)
        thread.start()

    def _accept(self) -> None:
        while True:
            try:
                near, _peer = self._listening.accept()
            except OSError:
                return
            try:
                far = socket.create_connection(("127.0.0.1", self.target), 5)
            except OSError:
                near.close()
                continue
            self.lines += [near, far]
            for line in (near, far):
                line.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            for ends in ((near, far, True), (far, near, False)):
                self._begin(self._carry, *ends)

    def _carry(self, source: socket.socket, target: socket.socket, is_asking: bool) -> None:
        with suppress(OSError):
            while said := source.recv(65_536):
                if is_asking:
                    self._spoke, self.spoken = True, self.spoken + 1
                elif self._spoke:
                    self._spoke, self.trips = False, self.trips + 1
                time.sleep(self.delay_s)
                is_cut = is_asking and self._is_to_cut(said)
                if not is_cut or self.is_heard:
                    target.sendall(said)
                if is_cut:
                    break
        for line in (source, target):
            with suppress(OSError):
                line.shutdown(socket.SHUT_RDWR)

    def _is_to_cut(self, said: bytes) -> bool:
        if self.cut_words and self.cut_words in said:
            self.cut_words = b""
            return True
        return self.spoken == self.cut_at


@contextmanager
def relayed(port: int, delay_s: float = 0.0) -> Iterator[Relay]:
    """A wire to a port until the block ends."""
    relay = Relay(port, delay_s)
    try:
        yield relay
    finally:
        relay.close()
