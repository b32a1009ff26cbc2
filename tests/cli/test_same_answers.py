"""A crib in a file and on a server answer the same commands with the same bytes."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import closing
from itertools import count
from pathlib import Path

import pytest
import time_machine

from crib.cli.main import main
from crib.stock.engine.place import Place
from tests.demo_crib import NOW, demo_crib
from tests.on_engines import in_files, on_server
from tests.stock.engine.server import TestServer

INCH = """
find hole 13/16 thru 3/8 A36
find slot 13/16 x 2 thru 3/8 A36
find hole 2-3/8 thru 1/2 A36
find hole 13/16 thru 3/8 X9
log P-0139 40 thru 3/8 A36
log P-0139 40 thru 3/8 A36
grind P-0137 --off 0.010in
broke P-0138 chipped
"""
METRIC = """
find hole 22 thru 10 S275
find slot 22 x 50 thru 10 S275
find hole 61 thru 12 S275
"""
BOTH = """
due --all
forecast
stock
stock punch
jobs
plan --job J-2680 --keep
kit out J-2680 --to nights
kit show J-2680
kit late
kit back J-2680
wants
buy
buy --budget 300
order --all --budget 300
order
history
rules
grades
person
machine
supplier
life
import {folder}/places.csv
count Z9 --there none
check
"""


@pytest.fixture(params=["inch", "metric"])
def pair(
    request: pytest.FixtureRequest, server: TestServer, tmp_path: Path
) -> Iterator[tuple[list[str], list[Place]]]:
    """The commands for a demo crib, and it in a file and on a server."""
    metric = request.param == "metric"
    places: list[Place] = []
    with on_server(server):
        with closing(demo_crib(tmp_path / "server.crib", metric)) as session:
            places.append(session.place)
        yield [*(METRIC if metric else INCH).split("\n"), *BOTH.split("\n")], places


def answers(
    place: Place, lines: list[str], folder: Path, capsys: pytest.CaptureFixture[str]
) -> dict[str, tuple[int, str]]:
    """What every command says, but for the name of the place itself."""
    told = {}
    url = getattr(place, "url", str(place))
    for number, line in enumerate(filter(None, lines)):
        status = main([*line.format(folder=folder).split(), "--json", "--crib", url])
        said = capsys.readouterr()
        text = (said.out + said.err).replace(str(place), "PLACE").replace(place.name, "NAME")
        told[f"{number} {line}"] = status, text
    return told


def test_every_answer_is_the_same_to_the_last_byte(
    pair: tuple[list[str], list[Place]],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    request: pytest.FixtureRequest,
) -> None:
    (tmp_path / "places.csv").write_text("name,sort\nZ9,drawer\n")
    lines, places = pair
    file = tmp_path / "file.crib"
    with in_files():
        demo_crib(file, "metric" in request.node.name).close()
    said = []
    for place in (file, *places):
        acts = count(1)
        monkeypatch.setattr(os, "urandom", lambda size, acts=acts: next(acts).to_bytes(size))
        with time_machine.travel(NOW, tick=False):
            said.append(answers(place, lines, tmp_path, capsys))
    of_file, of_server = said
    assert sum(status == 0 for status, _text in of_file.values()) > len(of_file) / 2
    for line, answer in of_file.items():
        assert answer == of_server[line], line
