"""With the server away, before a command or in the midst of it, each says so and nothing worse."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from crib.cli.main import main
from crib.stock.engine.place import ServerPlace
from tests.cli.test_keys import LINES, every_command
from tests.demo_crib import demo_crib
from tests.on_engines import on_server
from tests.stock.engine.relay import Relay, relayed
from tests.stock.engine.server import TestServer

READING = {
    "chart": "round-punch",
    "compare": "hole 13/16 thru 3/8 A36",
    "show": "P-0137",
    "holes": "J-2680",
    "export": "{folder}/out",
    "wrap": "6 in pipe sch 40 onto 8 pipe",
    "read": "{folder}/places.csv",
    "labels": "P-0137 {folder}/labels.svg",
    "kit show": "J-2680",
    "wants show": "1",
    "rehouse": "{folder}/other.crib",
    "backup": "{folder}/safe.crib",
    "restore": "{folder}/safe.crib",
}
BESIDE_A_CRIB = {"demo", "serve"}
"""Make a crib of their own, or run until they are stopped."""
AWAY = "server-away"


@pytest.fixture(scope="module")
def place(server: TestServer, tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServerPlace]:
    with on_server(server):
        with closing(demo_crib(tmp_path_factory.mktemp("away") / "demo.crib")) as session:
            assert isinstance(session.place, ServerPlace)
        yield session.place


def told(name: str, url: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """How a command ends, and its error's code."""
    (folder / "places.csv").write_text("name,sort\nZ9,drawer\n")
    line = (LINES | READING).get(name, "").format(folder=folder, order="1", act="0")
    capsys.readouterr()
    status = main([*name.split(), *line.split(), "--json", "--crib", url])
    said = capsys.readouterr().err.strip()
    for never in ("should not have happened", "Traceback", "gave an error"):
        assert never not in said
    return status, json.loads(said)["error"]["code"] if said.startswith("{") else said


def test_every_command_says_that_the_server_is_away(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ended = {
        name: told(name, "postgresql://owner@127.0.0.1:1/shop", tmp_path, capsys)
        for name in every_command()
        if name not in BESIDE_A_CRIB
    }
    others = {name: end for name, end in ended.items() if end != (1, AWAY)}
    # These need no crib, or want one in a file, or find something else wrong before they ask it.
    assert set(others) <= {"cautions", "labels", "restore"}, others


@pytest.mark.parametrize("is_heard", [True, False])
def test_a_command_that_is_cut_in_its_midst_says_so(
    place: ServerPlace,
    server: TestServer,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    is_heard: bool,
) -> None:
    with relayed(server.port) as wire:
        wire.is_heard = is_heard
        ended = dict(_cut(wire, place, tmp_path, capsys))
    cut = [name for name, end in ended.items() if end in ((1, AWAY), (1, "not-known"))]
    # What was refused before the word that was cut keeps its own reason: nothing was begun.
    others = {name: end for name, end in ended.items() if name not in cut and end[0] != 2}
    assert others == {}
    assert len(cut) > 30


def _cut(
    wire: Relay, place: ServerPlace, folder: Path, capsys: pytest.CaptureFixture[str]
) -> Iterator[tuple[str, tuple[int, str]]]:
    """How each command ends that came to the word that was cut."""
    for number, name in enumerate(every_command()):
        if name in BESIDE_A_CRIB | {"new", "rehouse"}:
            continue
        # A connection says two words before the first question.
        wire.cut_at = wire.spoken + 4 + number % 3
        end = told(name, wire.to(place).url, folder, capsys)
        if wire.cut_at <= wire.spoken:
            yield name, end
        wire.cut_at = 0
