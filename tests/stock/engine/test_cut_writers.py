"""Many writers on a server that is cut and stopped hard: what was acknowledged counts, and once.

Each writer counts strokes and lends one of a few pieces that all of them want, with a key of its
own for each act. Meanwhile connections are ended by the server, wires are cut and the server is
stopped without being asked and started again.
"""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from threading import Thread

import pytest

from crib.desk.book.check import check_crib
from crib.desk.common.once import KeyedRequest, once
from crib.desk.kit.hand_out import HandOut, lend
from crib.desk.kit.hands import bring_back
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import CribBusy, DiskFault, Refused
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.session import Session
from tests.on_engines import on_server
from tests.shop import add_piece, small_shop
from tests.stock.engine.relay import Relay, relayed
from tests.stock.engine.server import TestServer, running_server

COUNTED, WANTED = ("P-0137", "D-0201"), ("L-1", "L-2", "L-3")
LONGEST_S = 60.0


class Writer(Thread):
    """One window: does its acts one after the other, each until it is told what became of it."""

    def __init__(self, number: int, place: ServerPlace, until: float) -> None:
        super().__init__(daemon=True)
        self.number, self._place, self._until = number, place, until
        self._session: Session | None = None
        self.counted: Counter[str] = Counter()
        self.lent: list[str] = []
        self.refused = 0
        self.again = 0
        self.wrong: list[str] = []

    def run(self) -> None:
        turn = 0
        while time.monotonic() < self._until and not self.wrong:
            turn += 1
            self._log(turn)
            if turn % 3 == 0:
                self._lend(turn)
        if self._session is not None:
            self._session.close()

    def _log(self, turn: int) -> None:
        tag, count = COUNTED[turn % 2], self.number * 1_000 + turn
        options = LogOptions(job=f"w{self.number}", confirmed=frozenset({"many-strokes"}))

        def log(session: Session) -> None:
            log_words(session, [tag, str(count)], options)

        self._told(f"log {turn}", log)
        self.counted[tag] += count

    def _lend(self, turn: int) -> None:
        tag = WANTED[(turn + self.number) % len(WANTED)]
        out = HandOut(to=f"shop {self.number}", new_place=True)
        try:
            self._told(f"lend {turn}", lambda session: lend(session, [tag], out))
        except Refused:
            self.refused += 1
            return
        self.lent.append(tag)
        self._told(f"back {turn}", lambda session: bring_back(session, [tag], "A1"))

    def _told(self, what: str, do: Callable[[Session], object]) -> None:
        """Send an act under its key until it is told as done, or refused for good."""
        key = f"w{self.number} {what}"
        until = time.monotonic() + LONGEST_S
        while True:
            try:
                self._once(KeyedRequest(key, "test", what, what), do)
                return
            except (DiskFault, CribBusy) as away:
                self.again += 1
                if time.monotonic() > until:
                    self.wrong.append(f"{key}: {away}")
                    return
                time.sleep(random.uniform(0.02, 0.2))

    def _once(self, asked: KeyedRequest, do: Callable[[Session], object]) -> None:
        if self._session is None:
            self._session = open_crib(self._place)
        session, connection = self._session, self._session.connection
        once(session, asked, lambda: str(do(session))[:9])
        # What was cut off was begun again below, on another connection.
        self.again += session.connection is not connection


def disturb(server: TestServer, wire: Relay, chance: random.Random) -> None:
    """Cut some connections at one of their ends."""
    if chance.random() < 0.5:
        wire.cut()
    else:
        with suppress(Exception):
            server.run(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                f" WHERE application_name = 'crib' AND random() < {chance.random()}"
            )


def written(server: TestServer, tmp_path: Path, writers: int, seconds: float, stops: int) -> None:
    """Let writers write, disturb them, stop the server so often, and look at what stands then."""
    with on_server(server), closing(small_shop(tmp_path / "shop.crib")) as shop:
        kind = shop.value("SELECT kind_id FROM piece WHERE tag = 'P-0137'")
        for tag in WANTED:
            add_piece(shop, tag, kind)
        place = shop.place
        assert isinstance(place, ServerPlace)
        with relayed(server.port) as wire:
            at_work = _at_work(server, wire, place, writers, seconds, stops)
        _require_kept(place, at_work)


def _at_work(
    server: TestServer, wire: Relay, place: ServerPlace, writers: int, seconds: float, stops: int
) -> list[Writer]:
    chance, began = random.Random(writers), time.monotonic()
    at_work = [
        Writer(number, wire.to(place) if number % 2 else place, began + seconds)
        for number in range(1, writers + 1)
    ]
    for writer in at_work:
        writer.start()
    for stop in range(1, stops + 1):
        while time.monotonic() < began + seconds * stop / (stops + 1):
            time.sleep(chance.uniform(0.1, 0.6))
            disturb(server, wire, chance)
        server.stop()
        time.sleep(chance.uniform(0.0, 0.5))
        server.start()
    for writer in at_work:
        writer.join()
    return at_work


def _require_kept(place: ServerPlace, at_work: list[Writer]) -> None:
    assert [fault for writer in at_work for fault in writer.wrong] == []
    assert sum(writer.again for writer in at_work) > 0, "nobody noticed"
    with closing(open_crib(place)) as session:
        for writer in at_work:
            rows = session.rows(
                "SELECT piece.tag, sum(entry.quantity) FROM entry"
                " JOIN piece ON piece.id = entry.piece_id"
                " WHERE entry.action = 'strokes' AND entry.job = ? GROUP BY piece.tag",
                (f"w{writer.number}",),
            )
            assert {row[0]: row[1] for row in rows} == writer.counted
        _require_lent_in_turn(session, at_work)
        report = check_crib(session)
        assert report.sound, [one for one in report.checks if one.faults]


def _require_lent_in_turn(session: Session, at_work: list[Writer]) -> None:
    """Every loan that was told was given once, and no piece before it was back."""
    given = session.rows(
        "SELECT piece.tag, hold.state FROM hold JOIN piece ON piece.id = hold.piece_id"
    )
    assert Counter(row[0] for row in given) == Counter(t for one in at_work for t in one.lent)
    assert {row[1] for row in given} <= {"back"}


def test_a_few_writers_on_a_server_that_is_stopped_hard(tmp_path: Path) -> None:
    with running_server() as server:
        written(server, tmp_path, writers=4, seconds=4.0, stops=1)


@pytest.mark.audit
def test_sixteen_writers_for_a_minute_on_a_server_that_is_stopped_hard_five_times(
    tmp_path: Path,
) -> None:
    with running_server(durable=True) as server:
        written(server, tmp_path, writers=16, seconds=60.0, stops=5)
