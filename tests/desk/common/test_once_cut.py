"""A request with a key counts once wherever in it the connection to the server is cut."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from crib.cli.main import main
from crib.desk.book.check import check_crib
from crib.desk.common.once import KeyedRequest, once
from crib.desk.strokes.log import LogOptions, log_words
from crib.errors import NotKnown, ServerAway
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.session import Session
from tests.on_engines import on_server
from tests.shop import small_shop
from tests.stock.engine.relay import Relay, relayed
from tests.stock.engine.server import TestServer


@pytest.fixture
def shop(server: TestServer, tmp_path: Path) -> Iterator[Session]:
    with on_server(server), closing(small_shop(tmp_path / "shop.crib")) as session:
        yield session


@pytest.fixture
def wire(server: TestServer) -> Iterator[Relay]:
    with relayed(server.port) as relay:
        yield relay


def place_of(session: Session) -> ServerPlace:
    assert isinstance(session.place, ServerPlace)
    return session.place


def log_once(session: Session, count: int) -> str:
    """Count strokes under a key; no two counts alike, since that would be asked back."""
    asked = KeyedRequest(f"key {count}", "log", f"P-0137 {count}", f"{count} on P-0137")
    return once(session, asked, lambda: log(session, count))


def log(session: Session, count: int) -> str:
    return log_words(session, ["P-0137", str(count)], LogOptions(job=f"job {count}")).act


def logged(session: Session) -> dict[str, int]:
    rows = session.rows(
        "SELECT job, sum(quantity) FROM entry WHERE action = 'strokes' GROUP BY job"
    )
    return {row[0]: row[1] for row in rows}


@pytest.mark.parametrize("is_heard", [True, False])
def test_an_act_counts_once_wherever_it_is_cut(shop: Session, wire: Relay, is_heard: bool) -> None:
    wire.is_heard = is_heard
    far = open_crib(wire.to(place_of(shop)))
    counts: list[int] = []
    # One word later each time, until an act ends before it comes to the cut.
    while not counts or wire.cut_at <= wire.spoken:
        wire.cut_at = wire.spoken + len(counts) + 1
        counts.append(10 + len(counts))
        answer = log_once(far, counts[-1])
        assert log_once(far, counts[-1]) == answer
    far.close()
    assert len(counts) > 5
    assert logged(shop) == {f"job {count}": count for count in counts}
    assert check_crib(shop).sound


def test_without_a_key_a_commit_that_was_cut_off_is_told_as_not_known(
    shop: Session, wire: Relay
) -> None:
    far = open_crib(wire.to(place_of(shop)))
    wire.is_heard = True
    with pytest.raises(NotKnown, match="it may be done, or not"):
        _logged_and_cut(far, wire)
    far.close()
    with shop.writing():
        assert logged(shop) == {"job 40": 40}


def _logged_and_cut(far: Session, wire: Relay) -> None:
    with far.writing():
        log(far, 40)
        wire.cut_words = b"COMMIT\x00"


def test_a_server_that_stays_away_leaves_nothing_and_says_so(shop: Session, wire: Relay) -> None:
    far = open_crib(wire.to(place_of(shop)))
    wire.close()
    with pytest.raises(ServerAway, match="the server is away"):
        log_once(far, 40)
    assert logged(shop) == {}


def test_the_shell_tells_what_was_done_when_its_commit_was_cut_off(
    shop: Session, wire: Relay, capsys: pytest.CaptureFixture[str]
) -> None:
    def told(count: str) -> str:
        words = ["log", "P-0137", count, "--key", f"key {count}", "--json"]
        assert main([*words, "--crib", wire.to(place_of(shop)).url]) == 0
        said = capsys.readouterr()
        assert said.err == ""
        return said.out

    wire.is_heard, wire.cut_words = True, b"COMMIT\x00"
    first = told("41")
    assert not wire.cut_words
    assert told("41") == first
    assert logged(shop) == {"": 41}
