"""``crib show`` and ``crib history`` on an 80-column screen and as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest

from crib.desk.common.acting import stamp_for
from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.engine.opening import open_crib
from crib.stock.queries.pieces import piece_by_tag
from tests.cli.asking import Window
from tests.shop import add_piece, small_shop


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    shop = small_shop(tmp_path / "shop.crib")
    entry = NewEntry("strokes", 1, quantity=4100, weighted_milli=4_100_000, severity=1.0)
    ledger.write(shop, stamp_for(shop, "nights"), [entry])
    ledger.reverse(shop, stamp_for(shop, "bench 2"), [6], "counted twice")
    ledger.write(shop, stamp_for(shop, "nights"), [entry])
    shop.close()
    return Window(tmp_path / "shop.crib", capsys)


def test_show_says_size_seat_wear_and_what_is_left(window: Window) -> None:
    said = window.ask("show", "p-0137")
    assert (said.status, said.err) == (0, "")
    assert said.lines[0].startswith("P-0137")
    assert "13/16 in (20.64 mm)" in said.out
    assert "dulling, 82 % used: 4,100 of 5,000 weighted strokes" in said.out
    assert "[TAKEN" in said.out
    assert max(len(line) for line in said.lines) <= 80


def test_show_says_why_the_latest_strokes_weigh_what_they_do(window: Window) -> None:
    assert window.ask("log", "P-0140", "90", "thru", "1/2", "A572-50").status == 0
    said = window.ask("show", "P-0140")
    told = " ".join(said.out.split())
    assert "weight each stroke weighs 1.67 (entry " in told
    assert "): material 1.25 x thickness 1.333 " in told
    assert max(len(line) for line in said.lines) <= 80


def test_show_names_the_share_of_a_die_and_says_what_is_not_on_record(window: Window) -> None:
    older = " ".join(window.ask("show", "P-0137").out.split())
    assert "weight each stroke weighs 1 (entry 8): no thickness on record, counted at 1.00" in older
    window.ask("log", "P-0137", "9", "thru", "3/8", "A36", "dry", "with", "D-0201")
    told = " ".join(window.ask("show", "D-0201").out.split())
    assert "material 1 x thickness 1 x dry 1.5 x share of a die 0.5 " in told
    shop = open_crib(window.path)
    kept = NewEntry("strokes", 1, quantity=1, weighted_milli=900, severity=0.9, thickness_mm=9.0)
    ledger.write(shop, stamp_for(shop, ""), [kept])
    shop.close()
    older = " ".join(window.ask("show", "P-0137").out.split())
    assert "weighs 0.9 (entry 11): its factors are not on record" in older


def test_show_tells_grinds_in_the_ledger_from_what_a_used_piece_came_with(window: Window) -> None:
    assert "none yet; 12 left" in window.ask("show", "P-0137").out
    used = open_crib(window.path)
    add_piece(used, "P-9", piece_by_tag(used, "P-0137").kind_id)
    piece_id = piece_by_tag(used, "P-9").id
    before = NewEntry("add", piece_id, condition="sound", ground_um=508)
    ledger.write(used, stamp_for(used, ""), [before])
    used.close()
    assert "none logged here, 0.020 in off before; " in window.ask("show", "P-9").out
    assert window.ask("grind", "P-9", "--off", "0.01in").status == 0
    assert "1 logged here, 0.030 in off in all; " in window.ask("show", "P-9").out


def test_show_answers_with_one_json_object(window: Window) -> None:
    assert window.ask("show", "P-0137", "--json").json["used"] == 0.82


def test_show_refuses_an_unknown_tag(window: Window) -> None:
    said = window.ask("show", "P-0173", "--json")
    assert (said.status, said.out) == (2, "")
    assert '"code": "unknown-name"' in said.err


def test_history_marks_what_was_taken_back(window: Window) -> None:
    said = window.ask("history", "P-0137")
    assert said.status == 0
    assert "takes back 6, counted twice" in said.out
    assert "[TAKEN BACK by 7]" in said.out
    assert max(len(line) for line in said.lines) <= 80


def test_history_says_how_many_more_there_are(window: Window) -> None:
    assert "7 older ones not listed" in window.ask("history", "--most", "1").out


def test_history_of_one_person_as_json(window: Window) -> None:
    told = window.ask("history", "--person", "bench 2", "--json").json
    assert [one["reverses"] for one in told["lines"]] == [6]
    assert told["more"] == 0


def test_an_empty_history_says_so(window: Window) -> None:
    assert window.ask("history", "D-0301", "--person", "nights").lines == ["no entry passes"]
