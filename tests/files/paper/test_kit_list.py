"""The kit list read back: the walk, the spares, what is missing, and where to sign."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pytest

from crib.errors import BadValue
from crib.files.paper.kit_list import KitList, write_kit_list
from tests.files.paper_samples import kit_list, pages


def read(kit: KitList, paper: str = "Letter") -> list[str]:
    """The pages of a list."""
    held = BytesIO()
    count = write_kit_list(kit, held, paper)
    said = pages(held.getvalue())
    assert len(said) == count
    return said


@pytest.mark.parametrize(
    "words",
    [
        "Job J-1207 Made 2026-11-25 Due 2026-11-30 12 to take, 4 of them spare, 1 MISSING",
        "Out From Tag What For State Back",
        "K1 P-0001 punch: round 1/16 in, seat A",
        "SPARE punch: round 3/16 in, seat A",
        "measure it first",
        "Missing: order it, or settle it before the job begins Ordered by Date",
        "slot 13/16 x 2 thru 3/8: order 1 obround punch 13/16 x 2 in, seat B",
        "take the long wrench along",
        "Taken out by Date",
        "Brought back by Date",
        "its maker's manual decide",
    ],
)
def test_the_list_says(words: str) -> None:
    assert words in " ".join(read(kit_list()))


def test_the_lines_stand_in_the_order_of_the_walk() -> None:
    said = " ".join(read(kit_list(60), "a4"))
    places = [said.index(f"P-{number:04d}") for number in range(1, 61)]
    assert places == sorted(places)


def test_both_signatures_stand_on_one_page() -> None:
    for lines in range(14, 30):
        last = read(kit_list(lines))[-1]
        assert ("Taken out by" in last, "Brought back by" in last) == (True, True)


def test_what_is_complete_has_no_word_of_missing() -> None:
    said = read(replace(kit_list(2), missing=(), due_on="", notes=()))[0]
    assert "2 to take" in said
    for word in ("MISSING", "Missing", "Due", "Notes", "spare"):
        assert word not in said


def test_a_kit_of_which_all_is_missing_is_printed() -> None:
    said = read(replace(kit_list(), lines=()))[0]
    assert "0 to take, 1 MISSING" in said


def test_a_piece_without_a_place_says_so() -> None:
    kit = kit_list(1)
    assert "no place known" in read(replace(kit, lines=(replace(kit.lines[0], place=""),)))[0]


def test_an_empty_list_is_refused() -> None:
    with pytest.raises(BadValue, match="'Kit: stair stringers' has no line and nothing missing"):
        read(replace(kit_list(), lines=(), missing=()))


def test_only_what_is_to_be_fetched_is_counted_as_to_take() -> None:
    kit = kit_list(6)
    first, second, third, *rest = kit.lines
    lines = (
        replace(first, at_hand="mounted"),
        replace(second, at_hand="mounted"),
        replace(third, at_hand="out"),
        *rest,
    )
    said = read(replace(kit, lines=lines))[0]
    assert "3 to take, 1 of them spare, 2 mounted already, 1 out already, 1 MISSING" in said
