"""How often an act waits for a server: the trips over the wire, connecting and all, are few.

At 30 ms there and back a find that takes 12 trips waits a third of a second.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing

import pytest

from crib.cli.main import main
from crib.stock.engine.place import ServerPlace
from tests.demo_crib import demo_crib
from tests.on_engines import on_server
from tests.stock.engine.relay import relayed
from tests.stock.engine.server import TestServer

MOST = {
    "find hole 13/16 thru 3/8 A36": 12,
    "log P-0137 33": 10,
    "plan --job J-2680 --keep": 60,
    "kit out J-2680 --to nights": 30,
    "buy": 100,
}
FIRST = {"kit out J-2680 --to nights": "plan --job J-2680 --keep"}


@pytest.fixture(scope="module")
def place(server: TestServer, tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServerPlace]:
    with on_server(server):
        with closing(demo_crib(tmp_path_factory.mktemp("trips") / "demo.crib")) as session:
            assert isinstance(session.place, ServerPlace)
        yield session.place


@pytest.mark.parametrize("words", MOST)
def test_an_act_takes_few_trips(place: ServerPlace, server: TestServer, words: str) -> None:
    if words in FIRST:
        assert main([*FIRST[words].split(), "--json", "--crib", place.url]) == 0
    with relayed(server.port) as wire:
        assert main([*words.split(), "--json", "--crib", wire.to(place).url]) == 0
        assert 2 < wire.trips <= MOST[words]
