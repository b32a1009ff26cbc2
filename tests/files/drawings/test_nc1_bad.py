"""Part files that cannot be read: one clear refusal, with its lines."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.errors import BadInput, BadRows
from crib.files.drawings.nc1 import read_nc1_file
from tests.files.nc1_text import SLOT, contour, header, holes, nc1, notes, only, read


def test_every_fault_of_a_file_is_listed_with_its_line() -> None:
    text = nc1(holes("  v 1 2", "  v 1,5 2 3", "  v 1 2 0", "  v 1e5 2 3"), quantity="two")
    with pytest.raises(BadRows, match=r"part.nc1 line 7, quantity: 'two' .* and 4 more") as caught:
        read(text)
    assert [(fault.line, fault.column) for fault in caught.value.faults] == [
        (7, "quantity"),
        (27, ""),
        (28, ""),
        (29, ""),
        (30, ""),
    ]
    assert "the decimal sign is a point" in str(caught.value.faults[2])


def test_a_file_of_nothing_but_faults_lists_the_first_hundred() -> None:
    with pytest.raises(BadRows, match=r"line 27: .* and 299 more") as caught:
        read(nc1(holes(*["  v 1 2"] * 300)))
    assert len(caught.value.faults) == 100


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"quantity": 0}, "line 7, quantity: '0' must be a whole number"),
        ({"quantity": 1000001}, "line 7, quantity"),
        ({"quantity": "2.5"}, "line 7, quantity"),
        ({"code": "??"}, r"line 9, profile code: '\?\?' is not a profile code; known: I, U"),
        ({"length": "long"}, "line 10, length: 'long' is not a number"),
        ({"length": 0}, "line 10, length: 0 must be more than 0"),
        ({"length": "9" * 300}, "line 10, length: 9+ must be more than 0"),
        ({"length": "nan"}, "line 10, length"),
        ({"height": "10,5"}, "line 11, height: '10,5' is not a number"),
        ({"height": -1}, "line 11, height"),
    ],
)
def test_a_wrong_header_is_refused_by_line(changes: dict[str, float | str], words: str) -> None:
    with pytest.raises(BadRows, match=words):
        read(nc1(**changes))


def test_an_unknown_profile_is_read_as_a_special_shape() -> None:
    text = nc1(code="Z")
    assert only(text).profile == "SO"
    assert "profile code 'Z' is not known" in notes(text)[9]


@pytest.mark.parametrize("lines", range(1, 21))
def test_a_header_cut_short_is_refused(lines: int) -> None:
    with pytest.raises(BadRows, match=f"the header has {lines - 1} of its 20 lines"):
        read("\n".join(header()[:lines]))


def test_a_header_cut_short_does_not_swallow_the_holes() -> None:
    with pytest.raises(BadRows, match="the header has 15 of its 20 lines"):
        read("\n".join([*header()[:16], *holes(SLOT), "EN"]))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "part.nc1 is empty"),
        (b" \r\n\t\n", "part.nc1 is empty"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "is not text: line 3 has a zero byte"),
        (b"\xff\xfe", "is empty"),
        (b"0\nSECTION\n2\nHEADER\n", "has no ST line"),
        (b"\x80\x81\x8d\n" * 100, "has no ST line"),
        (b"x" * 20_000_001, "has 20.0 MB; a part file has at most 20 MB"),
        (b"\n" * 100_001 + b"ST", "has 100002 lines; a part file has at most 100000"),
    ],
)
def test_what_is_no_part_file_is_refused_in_one_sentence(data: bytes, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        read(data)


def test_a_line_without_end_is_refused() -> None:
    with pytest.raises(BadRows, match="line 27: it has 1004 characters; at most 1000"):
        read(nc1(holes("  v " + "1" * 1000)))


def test_a_file_of_fifty_megabytes_is_refused_before_it_is_opened(tmp_path: Path) -> None:
    large = tmp_path / "large.nc1"
    with large.open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(BadInput, match=r"large\.nc1 has 50\.0 MB; a part file has at most 20 MB"):
        read_nc1_file(large)


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="there is no file at"):
        read_nc1_file(tmp_path / "none.nc1")


def test_many_lines_are_read_quickly_enough_to_finish() -> None:
    text = nc1(
        holes(*[f"  v {n % 300}.0u {n // 300}.0 2.00 0.00l 0.50 0.00 0.00" for n in range(5_000)]),
        contour([(x, 0.0) for x in range(5_000)]),
        contour([(0, 0), (1, 0), (1, 1), (0, 0)] * 2_000, name="IK"),
    )
    assert len(only(text).features) == 5_000
