"""A file is written whole or not at all, and nothing is left beside it."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest

from crib.errors import BadValue, Refused
from crib.files.common.whole_file import whole_file, write_csv, write_whole


def test_bytes_take_the_place_of_an_older_file(tmp_path: Path) -> None:
    path = tmp_path / "paper.pdf"
    path.write_bytes(b"older")
    write_whole(b"newer", path)
    assert path.read_bytes() == b"newer"
    assert list(tmp_path.iterdir()) == [path]


def test_an_open_file_just_takes_the_bytes() -> None:
    data = BytesIO()
    write_whole(b"paper", data)
    assert data.getvalue() == b"paper"


def test_what_fails_halfway_leaves_the_older_file_and_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "paper.pdf"
    path.write_bytes(b"older")
    with pytest.raises(BadValue, match="halfway"):
        _fail_halfway(path)
    assert path.read_bytes() == b"older"
    assert list(tmp_path.iterdir()) == [path]


def _fail_halfway(path: Path) -> None:
    message = "halfway"
    with whole_file(path) as partial:
        partial.write_bytes(b"ha")
        raise BadValue(message)


def test_a_csv_says_that_it_is_utf_8_and_how_many_rows_it_has(tmp_path: Path) -> None:
    path = tmp_path / "lines.csv"
    assert write_csv(path, ("line", "what"), [(1, "Ø 22"), (2, "a, b")]) == 2
    assert path.read_bytes() == '\ufeffline,what\r\n1,Ø 22\r\n2,"a, b"\r\n'.encode()


def test_a_csv_is_not_written_over_what_is_there(tmp_path: Path) -> None:
    path = tmp_path / "lines.csv"
    path.write_text("mine")
    with pytest.raises(Refused, match="is there already"):
        write_csv(path, ("line",), [])
    assert path.read_text() == "mine"


def test_a_csv_is_not_written_over_what_came_meanwhile(tmp_path: Path) -> None:
    path = tmp_path / "lines.csv"

    def rows() -> Iterator[tuple[str]]:
        path.write_text("theirs")
        yield ("mine",)

    with pytest.raises(Refused, match="is there already"):
        write_csv(path, ("line",), rows())
    assert path.read_text() == "theirs"
    assert list(tmp_path.iterdir()) == [path]
