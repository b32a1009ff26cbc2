"""``crib grind`` and ``crib turn`` on the screen and as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.engine.opening import open_crib
from crib.stock.queries.pieces import piece_by_tag
from tests.cli.asking import Window
from tests.shop import add_kind, add_piece, small_shop


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    session = small_shop(tmp_path / "shop.crib")
    kind = piece_by_tag(session, "P-0137").kind_id
    add_piece(session, "P-1", kind, wear=4800, length_mm=69.0)
    blade = add_kind(session, role="blade", width="1", shape="", edges=2)
    add_piece(session, "B-2", blade, wear=4800)
    add_piece(session, "B-3", blade, wear=4800)
    session.close()
    return Window(tmp_path / "shop.crib", capsys)


def test_a_grind_shows_before_and_after(window: Window) -> None:
    said = window.ask("grind", "p-1", "--length", "68.75mm", "--by", "nights")
    assert (said.status, said.err) == (0, "")
    assert "length 2.7067 in (68.75 mm); before: 2.7165 in (69 mm)" in said.out
    assert "wear 4,800 -> 0 weighted strokes; grind 1 of this piece" in said.out


def test_json_is_in_mm(window: Window) -> None:
    said = window.ask("grind", "P-1", "--off", "0.25mm", "--json")
    assert (said.status, said.err) == (0, "")
    assert (said.json["before_mm"], said.json["length_mm"], said.json["off_mm"]) == (
        *(69.0, 68.75),
        0.25,
    )


def test_a_grind_without_a_figure_is_refused(window: Window) -> None:
    said = window.ask("grind", "P-1")
    assert (said.status, said.out) == (2, "")
    assert "no length after the grind" in said.err


def test_too_much_at_once_is_asked_back(window: Window) -> None:
    assert "--much-off" in window.ask("grind", "P-1", "--off", "2mm").err
    assert window.ask("grind", "P-1", "--off", "2mm", "--damage-gone").status == 2
    assert window.ask("grind", "P-1", "--off", "2mm", "--much-off").status == 0


def test_a_blade_is_turned_to_its_last_edge(window: Window) -> None:
    said = window.ask("turn", "B-2")
    assert (said.status, said.err) == (0, "")
    assert "edge 2 of 2 in use (was 1, 4,800 weighted strokes)" in said.out
    assert "the last fresh edge: next time, grind it" in said.out
    refused = window.ask("turn", "B-2")
    assert refused.status == 2
    assert "both edges are used" in refused.err


def test_a_turn_as_json(window: Window) -> None:
    said = window.ask("turn", "B-2", "--edge", "2", "--json")
    assert (said.json["edge"], said.json["edges_left"]) == (2, 0)


def test_both_of_a_pair_are_ground_with_one_command(window: Window) -> None:
    said = window.ask("grind", "B-2", "B-3", "--off", "0.2mm")
    assert (said.status, said.err) == (0, "")
    assert [line[:3] for line in said.lines if "ground on" in line] == ["B-2", "B-3"]
    assert "--again" in window.ask("grind", "B-2", "B-3", "--off", "0.2mm").err
    told = window.ask("grind", "B-2", "B-3", "--off", "0.2mm", "--again", "--json").json
    assert [one["grinds"] for one in told["pieces"]] == [2, 2]
    assert window.ask("grind", "B-2", "P-1", "--off", "0.2mm").status == 2


def test_both_of_a_pair_are_turned_with_one_command(window: Window) -> None:
    said = window.ask("turn", "B-2", "B-3")
    assert (said.status, said.err) == (0, "")
    assert said.out.count("edge 2 of 2 in use") == 2
    assert "set the gap again, check the heights" in said.lines


def test_the_last_grinds_are_counted_in_words(window: Window) -> None:
    assert (
        "about 1 grind left" in window.ask("grind", "P-1", "--length", "66.4mm", "--much-off").out
    )
    assert "  no grind left" in window.ask("grind", "P-1", "--length", "66.2mm").lines


def test_a_fault_that_is_soon_back_is_noted_at_the_turn(window: Window) -> None:
    assert window.ask("grind", "B-2", "--off", "0.1mm", "--found", "chipped").status == 0
    session = open_crib(window.path)
    worked = NewEntry("strokes", piece_by_tag(session, "B-2").id, 10, 10_000)
    ledger.write(session, ledger.new_stamp(person_id(session, "")), [worked])
    session.close()
    said = window.ask("turn", "B-2", "--found", "chipped")
    assert "NOTE: came back within 20 % of an interval (10 of " in said.out
    assert "retire it?" in said.out
    assert max(len(line) for line in said.lines) <= 80


@pytest.mark.parametrize(
    ("said", "is_lower", "gap"),
    [
        (("--off", "0.01in"), True, "grew by 0.01 in: set"),
        (("--length", "27.5mm"), False, "grew by as much as came off: set"),
    ],
)
def test_a_ground_die_tells_of_the_stripper_and_of_the_first_stroke(
    window: Window, said: tuple[str, str], is_lower: bool, gap: str
) -> None:
    session = open_crib(window.path)
    bare = add_kind(session, role="die", width="27/32")
    add_piece(session, "D-9", bare)
    session.close()
    told = " ".join(window.ask("grind", "D-9", *said).out.split())
    assert gap in told
    assert "realign punch and die, inch down once before the first hole" in told
    assert ("the die is 0.01 in lower than new" in told) == is_lower


def test_a_ground_punch_says_nothing_of_the_stripper(window: Window) -> None:
    assert "stripper" not in window.ask("grind", "P-1", "--off", "0.25mm").out
