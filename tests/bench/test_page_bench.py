"""What the page costs beside the desk behind it: processor, memory, waiting, and bytes.

A real server in a process of its own; its processor time, and how long it stood in line behind
other programs, are read from the system's own tables, so that what these cost does not count.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.bench.asking import Asking, waits
from tests.bench.desk_apart import desk_apart
from tests.bench.ratios import MEASURED, Ratio, compare
from tests.browser.serving import Server, serving
from tests.demo_crib import demo_crib

pytestmark = pytest.mark.bench

MOST_IDLE_BYTES = 60_000_000
MOST_KEPT_MS = 1.0
CLIENTS = 8
FINDS_EACH = 40


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "demo.crib"
    demo_crib(path).close()
    return path


@pytest.fixture(scope="module")
def server(demo: Path) -> Iterator[Server]:
    with serving(demo) as started:
        yield started


def test_an_idle_page_fits_beside_other_programs(server: Server) -> None:
    status = Path(f"/proc/{server.pid}/smaps_rollup").read_text("ascii").splitlines()
    held = next(int(line.split()[1]) * 1024 for line in status if line.startswith("Pss:"))
    assert held <= MOST_IDLE_BYTES


def test_a_find_page_costs_little_more_than_the_desk(server: Server, demo: Path) -> None:
    """Both in a process of their own, both woken for each of the same questions."""

    def work(process: Server, ask: Callable[[], object]) -> Callable[[], float]:
        def each() -> float:
            before = process.processor_seconds()
            for _one in range(20):
                ask()
            return (process.processor_seconds() - before) / 20

        return each

    with Asking(server) as client, desk_apart(demo) as desk:
        page = work(server, lambda: client.get(client.another()))
        against = ("its call of the desk", work(desk.process, desk.find))
        found = compare("a page that answers a find", page, against, limit=1.15, rounds=15)
    assert found.ratio <= found.limit, found.line


def test_a_kept_answer_takes_a_thousandth_of_a_second(server: Server) -> None:
    with Asking(server) as client:
        place = client.another()
        client.get(place)
        before = server.processor_seconds()
        for _one in range(1000):
            client.get(place)
    each_ms = server.processor_seconds() - before
    MEASURED.append(Ratio("a kept answer", "1 ms", each_ms / 1000, 0.001, MOST_KEPT_MS))
    assert each_ms <= MOST_KEPT_MS


def test_eight_at_once_wait_little_longer_than_their_turn(server: Server) -> None:
    alone = sorted(waits(server, 1, FINDS_EACH, quantity=10_000))
    one = alone[len(alone) // 2]
    every = sorted(waits(server, CLIENTS, FINDS_EACH, quantity=20_000))
    slow = every[int(0.99 * len(every))]
    found = Ratio("8 clients, 99 of 100 finds", "one find alone", slow, one, 12.0)
    MEASURED.append(found)
    assert found.ratio <= found.limit, found.line


def test_memory_stays_when_many_answers_are_kept(server: Server) -> None:
    with Asking(server, quantity=100_000) as client:
        for _one in range(600):
            client.get(client.another())
    status = Path(f"/proc/{server.pid}/status").read_text("ascii").splitlines()
    held = next(int(line.split()[1]) * 1024 for line in status if line.startswith("VmRSS:"))
    assert held <= 2 * MOST_IDLE_BYTES
