"""The same crib in a file and on a server of the same machine, each act by turns on both.

What is acknowledged is on the disk on both. Acts that write are undone by the next, or add to both
cribs alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from itertools import count, cycle
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import pytest

from crib.desk.answer.find import Found, find
from crib.desk.buying.buy import plan_buying
from crib.desk.edges.due import DueRequest, list_due
from crib.desk.kit.hand_out import HandOut, hand_out
from crib.desk.kit.take_back import TakeBack, take_back
from crib.desk.plan.make_plan import PlanRequest, make_plan
from crib.desk.strokes.log import LogOptions, log_words
from crib.stock.engine.into_server import copy_into_server
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.session import Session
from crib.stock.tables.all_tables import PersonRecord, PlaceRecord
from tests.bench.asking import PHRASE, waits
from tests.bench.big_crib import Size, build
from tests.bench.ratios import compare, timed
from tests.browser.serving import Server, serving
from tests.desk.asks import tags
from tests.desk.planning import add_job, hole
from tests.shop import insert
from tests.stock.engine.server import TestServer, running_server

pytestmark = pytest.mark.bench

SIZES = {
    1_000: Size(pieces=1_000, kinds=400, entries=10_000),
    100_000: Size(pieces=100_000, kinds=2_000, entries=1_000_000),
}
NOW = datetime(2026, 1, 13, 6, tzinfo=UTC)
JOB, TAKER = "24-117", "nights"
PARTS = ("1/2", "9/16", "5/8", "11/16", "3/4", "13/16", "7/8", "15/16")
MISSED = ("square 1/8 thru 1/4 A36", "slot 13/16 x 9 thru 3/8 A36", "hole 2-7/8 thru 1/4 A36")
CLIENTS, FINDS_EACH = 8, 6
SEARCH_SECONDS = 0.05
"""The search for an order has its own limit of time; here the rest is measured."""


@dataclass
class Window:
    """One of the two cribs, and how far its shifts and tags were counted."""

    session: Session
    hours: Iterator[int] = field(default_factory=count)
    numbers: Iterator[int] = field(default_factory=lambda: cycle(range(101, 900)))


@dataclass(frozen=True)
class Both:
    """The same crib twice."""

    pieces: int
    file: Path
    place: ServerPlace
    in_file: Window
    on_server: Window


@contextmanager
def both(pieces: int, server: TestServer) -> Iterator[Both]:
    """A crib of one size with a job and some wants, in a file and copied to a server."""
    with TemporaryDirectory(prefix="crib-bench-") as folder:
        file = build(Path(folder) / "bench.crib", SIZES[pieces])
        place = server.new_database()
        with closing(open_crib(file)) as session:
            _ask(session)
            copy_into_server(session, place)
        with closing(open_crib(file)) as here, closing(open_crib(place)) as there:
            yield Both(pieces, file, place, Window(here), Window(there))
        server.drop_database(place)


def _ask(session: Session) -> None:
    """A kept job of some sizes, and questions that nothing served."""
    insert(session, PersonRecord, name=TAKER)
    insert(session, PlaceRecord, name=TAKER, sort="outside")
    add_job(session, JOB, *((f"B{one}", hole(size), 20) for one, size in enumerate(PARTS)))
    make_plan(session, PlanRequest(job=JOB, keep=True, seconds=SEARCH_SECONDS), NOW)
    for phrase in MISSED:
        find(session, phrase, now=NOW)


@pytest.fixture(scope="module")
def durable_server() -> Iterator[TestServer]:
    """A server that waits for its disk, as the file does."""
    with running_server(durable=True) as server:
        yield server


@pytest.fixture(scope="module", params=SIZES)
def cribs(request: pytest.FixtureRequest, durable_server: TestServer) -> Iterator[Both]:
    """The same crib on both engines."""
    with both(request.param, durable_server) as made:
        yield made


def _find(window: Window) -> Found:
    return find(window.session, PHRASE, record=False, now=NOW)


def _log(window: Window) -> object:
    """A shift's strokes of three pieces; another hour and others each time."""
    words = [word for _one in range(3) for word in (f"T-{next(window.numbers):06d}", "33")]
    moment = NOW + timedelta(hours=next(window.hours))
    return log_words(window.session, words, LogOptions(), moment)


def _due(window: Window) -> object:
    return list_due(window.session, DueRequest())


def _kit(window: Window) -> object:
    """A job's kit out and back, so that it is as before."""
    moment = NOW + timedelta(hours=next(window.hours))
    hand_out(window.session, JOB, HandOut(TAKER), now=moment)
    return take_back(window.session, JOB, TakeBack(strokes=False), now=moment)


def _plan(window: Window) -> object:
    return make_plan(window.session, PlanRequest(job=JOB, seconds=SEARCH_SECONDS), NOW)


def _buy(window: Window) -> object:
    return plan_buying(window.session, now=NOW)


@dataclass(frozen=True)
class Act:
    """What is done, how many times as long it may take on a server, and how often it is taken."""

    do: Callable[[Window], object]
    limit: float
    rounds: int


ACTS = {
    "find": Act(_find, 2.5, 31),
    "log": Act(_log, 3.5, 31),
    "due": Act(_due, 3.5, 15),
    "kit out and back": Act(_kit, 3.5, 11),
    "plan": Act(_plan, 2.5, 7),
    "buy": Act(_buy, 2.5, 3),
}
PAGE_LIMIT = 1.5


@pytest.mark.parametrize("name", ACTS)
def test_an_act_takes_little_longer_on_a_server(cribs: Both, name: str) -> None:
    act = ACTS[name]
    found = compare(
        f"{name} on a server, {cribs.pieces:,} pieces",
        lambda: timed(lambda: act.do(cribs.on_server)),
        ("the same in a file", lambda: timed(lambda: act.do(cribs.in_file))),
        limit=act.limit,
        rounds=act.rounds,
    )
    assert found.ratio <= found.limit, found.line


def test_both_cribs_are_still_the_same(cribs: Both) -> None:
    both = cribs.on_server.session, cribs.in_file.session
    for table in ("entry", "hold", "want"):
        there, here = (one.value(f"SELECT count(*) FROM {table}") for one in both)
        assert there == here, table
    answers = [tags(_find(one)) for one in (cribs.on_server, cribs.in_file)]
    assert answers[0] == answers[1] != []


def _who_answers(server: TestServer, place: ServerPlace) -> tuple[int, ...]:
    """The server's processes that answer for a database."""
    with server.asked(place) as ask:
        found = ask(
            "SELECT pid FROM pg_stat_activity"
            " WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
        return tuple(int(str(pid)) for (pid,) in found)


def _waited(page: Server, quantity: int) -> float:
    """How long a find waits among others, as one in the middle does."""
    return median(waits(page, CLIENTS, FINDS_EACH, quantity=quantity))


def _worked(page: Server, quantity: int) -> float:
    """What a find among others takes of the processor, the server's part with it."""
    before = page.processor_seconds()
    answers = waits(page, CLIENTS, FINDS_EACH, quantity=quantity)
    return (page.processor_seconds() - before) / len(answers)


@pytest.mark.parametrize("measure", [_waited, _worked])
def test_a_page_answers_eight_nearly_as_quickly_from_a_server(
    cribs: Both, durable_server: TestServer, measure: Callable[[Server, int], float]
) -> None:
    behind = count(10_000, 10_000)
    with serving(cribs.place.url) as page, serving(cribs.file) as in_file:
        measure(page, next(behind))
        on_server = replace(page, beside=_who_answers(durable_server, cribs.place))
        found = compare(
            f"a page of a server {measure.__name__}, {CLIENTS} at once, {cribs.pieces:,}",
            lambda: measure(on_server, next(behind)),
            ("the page of a file", lambda: measure(in_file, next(behind))),
            limit=PAGE_LIMIT,
            rounds=5,
        )
    assert found.ratio <= found.limit, found.line
