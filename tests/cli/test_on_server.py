"""Every command works on a crib on a server, and answers what it answers from a file."""

from __future__ import annotations

import json
import os
from contextlib import closing
from pathlib import Path
from typing import Any, cast

import pytest
import time_machine

from crib.stock.engine.folders import home_folder
from crib.stock.engine.into_server import copy_into_server
from crib.stock.engine.place import Place, ServerPlace
from tests.cli.asking import Answer, Window
from tests.cli.test_every_word_counts import LINES
from tests.demo_crib import NOW, demo_crib
from tests.stock.engine.server import TestServer

BEFORE = ("export tables", "plan --job J-2680 --keep", "find hole 20 mm thru 3/8")
OWN = ("new", "demo", "backup", "restore", "rehouse", "serve")
"""What makes, copies or serves a whole crib, and has its own tests here and elsewhere."""
EVERY = (*BEFORE, *(line for line in LINES if line.split()[0] not in OWN), "serve --devices")
CHANGING = ("act", "answered_from", "crib", "file", "made_at", "target")


@pytest.fixture(scope="module")
def cribs(server: TestServer, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, ServerPlace]:
    """The same demo crib in a file and on the server."""
    folder, place = tmp_path_factory.mktemp("both"), server.new_database()
    with closing(demo_crib(folder / "demo.crib")) as session:
        copy_into_server(session, place)
    return folder / "demo.crib", place


def at(place: Place, capsys: pytest.CaptureFixture[str]) -> Window:
    """The window of a crib, wherever it lies."""
    return Window(cast(Path, place), capsys)


def asked(place: Place, line: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> Answer:
    """Run a line in a folder of its own."""
    folder.mkdir(exist_ok=True)
    os.chdir(folder)
    return at(place, capsys).ask(*line.split(), "--json")


def told(said: Answer) -> Any:
    """What was said, without what is another thing each time."""
    text = said.out or said.err
    return _same_each_time(json.loads(text)) if text.startswith("{") else text


def _same_each_time(one: Any) -> Any:
    if isinstance(one, dict):
        return {key: _same_each_time(value) for key, value in one.items() if key not in CHANGING}
    return [_same_each_time(value) for value in one] if isinstance(one, list) else one


@time_machine.travel(NOW, tick=False)
def test_every_command_answers_from_a_server_as_from_a_file(
    cribs: tuple[Path, ServerPlace],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One after the other, so that each finds what those before it wrote."""
    monkeypatch.chdir(tmp_path)
    well = 0
    for line in EVERY:
        in_file = asked(cribs[0], line, tmp_path / "file", capsys)
        on_server = asked(cribs[1], line, tmp_path / "server", capsys)
        assert on_server.status == in_file.status, (line, on_server.err)
        assert told(on_server) == told(in_file), line
        well += on_server.status in (0, 3)
    assert well > len(EVERY) * 0.75


def test_a_demo_is_made_on_a_server(server: TestServer, capsys: pytest.CaptureFixture[str]) -> None:
    window = at(server.new_database(), capsys)
    made = window.ask("demo")
    assert (made.status, made.lines[0]) == (0, f"made {window.path}")
    assert window.ask("demo").status == 2


def test_a_copy_and_a_move_say_what_to_type_next(
    cribs: tuple[Path, ServerPlace],
    server: TestServer,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    place = server.new_database(cribs[1])
    window = at(place, capsys)
    copy = window.ask("backup")
    assert copy.lines[0].startswith(f"safe copy: {home_folder()}/127.0.0.1-")
    assert f"of the crib: {place}" in copy.out
    path = tmp_path / "shop.crib"
    moved = window.ask("rehouse", str(path))
    assert moved.lines[0] == f"moved to {path}"
    assert f"  export CRIB={path}" in moved.lines
    found = window.ask("find", "hole", "13/16", "thru", "3/8", "A36", "--no-want")
    assert (found.status, "and is only read here" in found.out) == (0, True)
    refused = window.ask("log", "P-0137", "40", "thru", "3/8", "A36")
    assert f"-> go on there with --crib {path}; `crib rehouse --take-back`" in refused.err
    assert window.ask("rehouse", "--take-back").status == 2
    assert window.ask("rehouse", "--take-back", "--yes").lines[0] == f"in use again: {place}"
