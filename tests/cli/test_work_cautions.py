"""Each command that puts hands on tooling prints the cautions of its own work."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from crib.desk.common.caution_page import WORKS, Work
from crib.desk.common.cautions import all_cautions, short_cautions
from tests.cli.asking import Answer, Window
from tests.demo_crib import demo_crib

FINDS: dict[str, Work] = {
    "hole 13/16 thru 3/8 A36": "punch",
    "hole 5/16 thru 3/8 A36": "punch",
    "slot 13/16 x 1-7/8 thru 3/8": "punch",
    "cut flat 4 x 3/8": "shear",
    "cut angle 3 x 3 x 1/4": "shear",
    "cut tube 1 x 16ga": "shear",
    "notch 2 x 3 thru 1/4": "notch",
    "vee 2 thru 1/4": "notch",
    "corner 3 x 3 thru 1/4": "notch",
    "bend 10 x 1/4 at 90": "bend",
    "saddle 1-1/2 pipe sch 40": "saddle",
    "point 3/4": "picket",
}


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    demo_crib(tmp_path / "demo.crib").close()
    return Window(tmp_path / "demo.crib", capsys)


def assert_minds(said: Answer, *works: Work) -> None:
    """The last lines are those of the works, and no other work's own line is there."""
    wanted = short_cautions(works)
    assert said.lines[-len(wanted) :] == list(wanted)
    others = {one.own for work, one in WORKS.items() if work not in works}
    assert not others & set(said.lines)


@pytest.mark.parametrize("how", [(), ("--checks",)])
@pytest.mark.parametrize(("phrase", "work"), FINDS.items())
def test_find_minds_the_work_that_was_asked_for(
    window: Window, phrase: str, work: Work, how: tuple[str, ...]
) -> None:
    said = window.ask("find", *phrase.split(), "--no-want", *how)
    wanted = short_cautions([work])
    at = said.lines.index(wanted[0])
    assert tuple(said.lines[at : at + 3]) == wanted
    others = {one.own for other, one in WORKS.items() if other != work}
    assert not others & set(said.lines)


def test_find_carries_them_for_programs(window: Window) -> None:
    said = window.ask("find", "cut", "flat", "4", "x", "3/8", "--no-want", "--json")
    assert said.json["cautions"] == list(short_cautions(["shear"]))


def test_the_wheel_the_blade_and_the_broken_tool_have_their_own(window: Window) -> None:
    assert_minds(window.ask("grind", "P-0138", "--off", "0.01in", "--by", "nights"), "grind")
    assert_minds(window.ask("turn", "B-0601", "--by", "nights"), "turn")
    broke = window.ask("broke", "P-0140", "snapped", "--by", "nights")
    assert tuple(broke.lines[:3]) == short_cautions(["broken"])


def test_a_station_a_person_and_a_heavy_piece_are_minded_when_pieces_move(window: Window) -> None:
    to_station = window.ask("move", "P-0140", "--to", "K2", "--by", "nights")
    assert not {one.own for one in WORKS.values()} & set(to_station.lines)
    assert_minds(window.ask("move", "B-0601", "--to", "K2", "--by", "nights"), "heavy")


def test_a_plan_and_a_kit_say_what_their_works_want(window: Window, tmp_path: Path) -> None:
    sheet, kit = tmp_path / "set-up.pdf", tmp_path / "kit.pdf"
    planned = window.ask("plan", "--job", "J-2682", "--keep", "--set-up-sheet", str(sheet))
    works: tuple[Work, ...] = ("punch", "notch", "bend")
    assert set(planned.lines[-5:]) == set(short_cautions(works))
    sheets = [printed(one) for one in tmp_path.glob("set-up-*.pdf")]
    assert all(any(text >= words(all_cautions([work])) for text in sheets) for work in works)
    assert_minds(window.ask("kit", "J-2682", "--draw", str(kit)), "hand_out")
    assert printed(kit) >= words(all_cautions(["hand_out"]))


@pytest.mark.parametrize("phrase", ["hole 13/16 thru 3/8 A36", "notch 7 x 3 thru 1/4"])
def test_a_drawing_says_all_of_its_work(window: Window, tmp_path: Path, phrase: str) -> None:
    place = tmp_path / "pair.pdf"
    window.ask("find", *phrase.split(), "--no-want", "--draw", str(place))
    assert printed(place) >= words(all_cautions([FINDS.get(phrase, "notch")]))


def test_a_loan_is_handed_out_with_them_and_a_list_of_loans_without(window: Window) -> None:
    assert_minds(window.ask("kit", "lend", "P-0140", "--to", "bench 2"), "hand_out")
    held = window.ask("kit")
    assert not {one.own for one in WORKS.values()} & set(held.lines)


def printed(place: Path) -> set[str]:
    text = " ".join(page.extract_text() for page in PdfReader(place).pages)
    return set(re.findall(r"[a-z0-9-]+", text.casefold()))


def words(lines: tuple[str, ...]) -> set[str]:
    return set(re.findall(r"[a-z0-9-]+", " ".join(lines).casefold()))
