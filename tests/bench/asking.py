"""Clients of a page's server, and how long each of their questions waits."""

from __future__ import annotations

import http.client
import select
import socket
import time
from contextlib import ExitStack
from dataclasses import dataclass
from urllib.parse import urlencode, urlsplit

from tests.browser.serving import Server

PHRASE = "hole 13/16 thru 3/8 A36"


@dataclass
class Asking:
    """A client of a server; each question it makes up is one that was not asked before."""

    server: Server
    quantity: int = 1

    def __post_init__(self) -> None:
        self._line = http.client.HTTPConnection(urlsplit(self.server.address).netloc)

    def get(self, place: str) -> bytes:
        """The page at an address."""
        self._line.request("GET", place)
        return self.answer()

    def ask(self) -> socket.socket:
        """Ask another find; gives what its answer comes through."""
        self._line.request("GET", self.another())
        return self._line.sock

    def answer(self) -> bytes:
        """The page that was asked for, once it is there."""
        answer = self._line.getresponse()
        assert answer.status == 200, (self.quantity, answer.status)
        return answer.read()

    def __enter__(self) -> Asking:
        return self

    def __exit__(self, *_error: object) -> None:
        self._line.close()

    def another(self) -> str:
        """The address of a find that nobody asked yet, of the same work."""
        self.quantity += 1
        return f"/tool/answer?{urlencode({'phrase': PHRASE, 'quantity': self.quantity})}"


def waits(server: Server, clients: int, each: int, *, quantity: int) -> list[float]:
    """How long each of many finds waits; every client asks again as soon as it is answered.

    What other programs took of the server's turn meanwhile does not count. The questions begin
    behind a quantity, a thousand for each client.
    """
    found: list[float] = []
    with ExitStack() as lines:
        asking = [Asking(server, quantity + 1000 * one) for one in range(clients)]
        for one in asking:
            lines.enter_context(one)
        asked = {one.ask(): (one, _now(server)) for one in asking}
        while asked:
            for line in select.select(list(asked), [], [])[0]:
                one, began = asked.pop(line)
                one.answer()
                found.append(_now(server) - began)
                if (one.quantity - quantity) % 1000 < each:
                    began = _now(server)
                    asked[one.ask()] = one, began
    return found


def _now(server: Server) -> float:
    return time.perf_counter() - server.held_up_seconds()
