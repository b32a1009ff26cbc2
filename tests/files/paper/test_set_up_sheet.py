"""The set-up sheet read back: what stands where, and what is said when something is not known."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import Any

import pytest

from crib.errors import BadValue
from crib.files.paper.set_up_sheet import DEFER, SetUpOut, SetUpSheet, write_set_up_sheet
from tests.files.paper_samples import CAUTION, pages, set_up_run, set_up_sheet, station


def read(sheet: SetUpSheet, paper: str = "Letter") -> list[str]:
    """The pages of a sheet."""
    held = BytesIO()
    count = write_set_up_sheet(sheet, held, paper)
    said = pages(held.getvalue())
    assert len(said) == count
    return said


def of_one(**changed: Any) -> str:
    """The only page of a sheet whose one station was changed."""
    made = replace(station(), **changed)
    return read(replace(set_up_sheet(), stations=(made,)))[0]


def of_run(**changed: Any) -> str:
    """The only page of a sheet whose one line of work was changed."""
    return of_one(runs=(replace(set_up_run(1), **changed),))


@pytest.mark.parametrize(
    "words",
    [
        "Set-up 1 of 2: main punch 1",
        "Set-up 2 of 2: main punch 2",
        "P-0139 punch: round 13/16 in, seat A K3 no key sharp, 12 %",
        "D-0202 die: round 27/32 in, seat A L5 45° sharp, 31 %",
        "Stripper gap: 1/16 in over the stock",
        "Oil: yes",
        "Stop: 2 in from the end, then every 3 in",
        "24.4 US tons 49 %",
        "40 6 240",
        "burr up",
        "jog down slowly with no stock: even gap all round",
        "Hold point: stop here until it is signed",
        "first piece: hole size and burr checked before the run",
        "the offcut rack is full, ask before cutting",
        "Job J-1207 Machine Ironworker 1 (north bay) Made 2026-11-25",
    ],
)
def test_the_sheet_says(words: str) -> None:
    assert words in " ".join(read(set_up_sheet()))


def test_the_cautions_stand_on_each_page_and_defer_to_the_machines_maker() -> None:
    said = read(set_up_sheet(3, 9), "a4")
    assert len(said) > 3
    for page in said:
        assert CAUTION in page
        assert DEFER in page


def test_work_that_goes_on_names_its_station_again() -> None:
    said = read(set_up_sheet(1, 30))
    assert all("Work at main punch 1" in page for page in said[:-1])


def test_the_tools_of_a_station_stand_on_the_page_of_its_first_work() -> None:
    said = read(set_up_sheet(8, 3))
    for number in range(1, 9):
        page = next(page for page in said if f": main punch {number}" in page)
        assert f"Work at main punch {number}" in page


@pytest.mark.parametrize(
    ("oil", "words"), [(True, "Oil: yes"), (False, "Oil: no"), (None, "Oil: not said: ask")]
)
def test_oil_that_nobody_spoke_of_is_asked_for(oil: bool | None, words: str) -> None:
    assert words in of_one(oil=oil)


def test_a_stripper_gap_that_is_not_known_is_left_to_the_manual() -> None:
    assert "Stripper gap: not said: the machine's manual" in of_one(stripper_gap="")


@pytest.mark.parametrize(
    ("load", "words"),
    [
        (None, "load not known"),
        (0.994, "99 %"),
        (1.0, "100 %"),
        (1.12, "112 %: OVER, do not run"),
    ],
)
def test_a_load_is_a_share_of_what_the_station_stands(load: float | None, words: str) -> None:
    said = of_run(load=load)
    assert words in said
    assert ("OVER" in said) == (load is not None and load > 1)


def test_a_station_without_tools_or_work_is_still_set() -> None:
    said = of_one(tools=(), runs=(), checks=())
    assert "Stripper gap" in said
    assert "Force, load" not in said


def test_work_without_mark_stops_or_note_is_just_the_phrase() -> None:
    said = of_run(part_mark="", material="", gauge_lines=(), note="", force="")
    assert "hole 13/16 thru 3/8 A36 40 6 240 not said 49 %" in said


def test_a_sheet_without_a_station_is_refused() -> None:
    with pytest.raises(BadValue, match="'Set-up sheet: stair stringers' has no station"):
        read(replace(set_up_sheet(), stations=()))


def test_what_comes_out_stands_before_what_goes_in() -> None:
    said = of_one(out=(SetUpOut("P-0130", "round 11/16 in", "K2"),), clearance="1/32 in in total")
    assert "Take out first Tool It goes back to P-0130 round 11/16 in K2" in said
    assert said.index("Take out first") < said.index("Put in")
    assert "Clearance: 1/32 in in total" in said
    assert "Take out first" not in of_one()
