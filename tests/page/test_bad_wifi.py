"""Strokes over a network that breaks and a server that dies: every one counts once.

Each post is sent until it was answered twice, through sockets that are cut before, while and after
the server reads them, while the server itself is killed and started again.
"""

from __future__ import annotations

import json
import random
import re
import socket
import struct
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from urllib.parse import urlencode

import pytest

from crib.desk.book.check import check_crib
from crib.page.guard.pairing import OWN_SCREEN
from crib.page.guard.people import PeopleAtDevices
from crib.page.guard.secret import kept_secret
from crib.stock.engine.opening import open_crib
from tests.browser.serving import free_port
from tests.forked import Program
from tests.shop import add_piece, small_shop

POSTS = 1_500
THREADS = 8
KILLS = 20
PIECES = 40
PATIENCE_S = 5.0
LONGEST_S = 240.0


class Server:
    """The page's server in a process of its own, on a port that stays the same."""

    def __init__(self, crib: Path) -> None:
        self.port = free_port()
        self._words = ["serve", "--crib", str(crib), "--port", str(self.port)]
        self._folder = crib.parent
        self._program = Program(self._words, self._folder)

    def kill(self) -> None:
        """End it at once, whatever it is doing."""
        self._program.kill()
        self._program.answer()

    def start_again(self) -> None:
        """Another server in its place."""
        self._program = Program(self._words, self._folder)


@contextmanager
def serving(crib: Path) -> Iterator[Server]:
    server = Server(crib)
    try:
        yield server
    finally:
        server.kill()


class Sender(threading.Thread):
    """One device: sends its posts one after the other, each until it was answered twice."""

    def __init__(
        self, port: int, posts: dict[str, bytes], seed: int, answered: Callable[[], None]
    ) -> None:
        super().__init__(daemon=True)
        self._port = port
        self._posts = posts
        self._chance = random.Random(seed)
        self._answered = answered
        self.tries = 0
        self.wrong: list[str] = []

    def run(self) -> None:
        for key, body in self._posts.items():
            told: list[str] = []
            while len(told) < 2 and not self.wrong:
                self.tries += 1
                answer = b""
                with suppress(OSError):
                    answer = self._sent(body)
                if answer:
                    told.append(self._receipt(key, answer))
                    self._answered()
                else:
                    time.sleep(0.02)
            if len(set(told)) > 1:
                self.wrong.append(f"{key}: answered otherwise the second time")

    def _sent(self, body: bytes) -> bytes:
        """One try; empty where the socket was cut, on purpose or not."""
        with closing(socket.create_connection(("127.0.0.1", self._port), PATIENCE_S)) as line:
            cut = self._chance.choice(("", "", "", "while", "after"))
            if cut:
                # The other side is told nothing but that the line is dead.
                line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
            line.sendall(body[: self._chance.randrange(len(body))] if cut == "while" else body)
            if cut:
                return b""
            return _whole(b"".join(iter(lambda: line.recv(65_536), b"")))

    def _receipt(self, key: str, answer: bytes) -> str:
        head, _blank, text = answer.partition(b"\r\n\r\n")
        said = json.loads(text) if text else {}
        if not head.startswith(b"HTTP/1.1 200") or said.get("key") != key:
            self.wrong.append(f"{key}: {answer[:600]!r}")
        return str(said.get("told"))


def _whole(answer: bytes) -> bytes:
    """An answer that came to its end; one that was cut off is none."""
    head, blank, text = answer.partition(b"\r\n\r\n")
    length = re.search(rb"content-length: (\d+)", head)
    return answer if blank and length and len(text) == int(length[1]) else b""


def post(voucher: str, key: str, fields: dict[str, str]) -> bytes:
    """A form as the page's outbox sends it."""
    said = {"key": key, "voucher": voucher, "pressed_at": "", "sure": "many-strokes", **fields}
    body = urlencode(said).encode()
    head = (
        "POST /strokes HTTP/1.1\r\nhost: 127.0.0.1\r\naccept: application/json\r\n"
        "content-type: application/x-www-form-urlencoded\r\nconnection: close\r\n"
        f"content-length: {len(body)}\r\n\r\n"
    )
    return head.encode() + body


def shifts(crib: Path) -> dict[str, tuple[str, int, bytes]]:
    """Every post by its key, with the piece and the count that it says, no two alike."""
    voucher = PeopleAtDevices(kept_secret(crib)).voucher(OWN_SCREEN.key, "window")
    made = {}
    for number in range(POSTS):
        tag, count, key = f"T-{number % PIECES:03}", 10 + number // PIECES, f"wifi-{number}"
        fields = {"new-tag": tag, "new-count": str(count), "job": key}
        made[key] = tag, count, post(voucher, key, fields)
    return made


def killed_now_and_then(
    server: Server, done: Callable[[], float], ended: Callable[[], bool]
) -> int:
    """Kill the server and start it again, spread over the work; how often that was."""
    kills = 0
    until = time.monotonic() + LONGEST_S
    while not ended() and time.monotonic() < until:
        if kills < KILLS and done() > kills / KILLS:
            server.kill()
            server.start_again()
            kills += 1
        time.sleep(0.02)
    return kills


@pytest.mark.slow
def test_every_stroke_counts_once_whatever_breaks(tmp_path: Path) -> None:
    crib = tmp_path / "shop.crib"
    with closing(small_shop(crib)) as session:
        kind = session.value("SELECT kind_id FROM piece WHERE tag = 'P-0137'")
        for number in range(PIECES):
            add_piece(session, f"T-{number:03}", kind)
    posts = shifts(crib)
    answers: Counter[str] = Counter()
    mine = [
        {key: posts[key][2] for key in list(posts)[number::THREADS]} for number in range(THREADS)
    ]
    with serving(crib) as server:
        senders = [
            Sender(server.port, own, seed, lambda: answers.update(["all"]))
            for seed, own in enumerate(mine)
        ]
        for sender in senders:
            sender.start()
        kills = killed_now_and_then(
            server,
            lambda: answers["all"] / (2 * POSTS),
            lambda: not any(sender.is_alive() for sender in senders),
        )
    assert [fault for sender in senders for fault in sender.wrong] == []
    assert kills == KILLS
    assert sum(sender.tries for sender in senders) > 2 * POSTS
    with closing(open_crib(crib)) as session:
        counted = session.rows(
            "SELECT entry.job, piece.tag, entry.quantity FROM entry"
            " JOIN piece ON piece.id = entry.piece_id WHERE entry.action = 'strokes'"
        )
        assert sorted(map(tuple, counted)) == sorted(
            (key, tag, count) for key, (tag, count, _body) in posts.items()
        )
        assert session.value("SELECT count(*) FROM kept_key") == POSTS
        assert check_crib(session).sound
