"""``crib life`` on an 80-column screen and as JSON, and its line in ``crib show``."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.asking import Window
from tests.house import ROOT
from tests.shop import add_kind, add_piece, small_shop


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    shop = small_shop(tmp_path / "shop.crib")
    kind = add_kind(shop, role="punch", width="1-1/2", name="punch 1-1/2")
    add_piece(shop, "P-1", kind, wear=4000, length_mm=70.0, place="Ironworker 1 / punch")
    add_piece(shop, "P-2", kind)
    add_piece(shop, "P-8", add_kind(shop, role="punch", width="1-9/16", name="the like"))
    add_piece(shop, "N-1", add_kind(shop, role="nut", width="1", name="nut 1"))
    shop.close()
    return Window(tmp_path / "shop.crib", capsys)


def test_one_screen_says_both_counts_what_they_rest_on_and_the_risk(window: Window) -> None:
    said = window.ask("life", "p-1", "--to-come", "500")
    assert (said.status, said.err) == (0, "")
    assert said.lines[0] == "punch 1-1/2: how long an edge lasts, in weighted strokes"
    assert "  10 % are dull after 5,000 (2,861 to 14,028, 90 % sure)" in said.lines
    assert "  50 % are dull after 13,040 (5,974 to 34,345)" in said.lines
    words = "  life.shape is 2.5; to fit one: 20 more edges ground with --found right"
    assert words in said.lines
    assert "  rests on: settings; 1 edge seen, 0 dull, 0 broken" in said.lines
    assert "the chance after 500 more" in said.out
    assert "Ironworker 1 / punch" in said.out
    assert any(line.startswith("  reminders ") and line.endswith("^") for line in said.lines)
    assert "the range halves with about 48 more told sharp or dull at the grind" in " ".join(
        said.out.split()
    )
    assert len(said.lines) <= 28
    assert max(len(line) for line in said.lines) <= 80


def test_a_kind_lists_its_pieces(window: Window) -> None:
    told = window.ask("life", "punch", "1-1/2", "--json").json
    assert [one["tag"] for one in told["pieces"]] == ["P-1", "P-2"]
    assert (told["kind"], told["more"], told["pieces_more"]) == ("punch 1-1/2", 1000, 0)
    assert told["learned"]["rests_on"] == "settings"
    assert [one["name"] for one in told["learned"]["pools"]] == [
        *("all kinds", "same role and steel", "same shape and size", "this kind"),
    ]


def test_a_grind_that_found_it_overdue_lowers_what_show_says(window: Window) -> None:
    before = window.ask("show", "P-1", "--json").json["learned"]["at_10"]["strokes"]
    assert window.ask("grind", "P-1", "--off", "0.2mm", "--found", "overdue").status == 0
    after = window.ask("show", "P-1", "--json").json["learned"]["at_10"]["strokes"]
    assert after < before
    said = window.ask("show", "P-1").out
    shown = " ".join(said.split())
    assert f"learned 10 % dull after {after:,.0f} weighted strokes (" in shown
    assert "), from 1 edge" in shown


def test_life_says_which_interval_reminders_use_and_what_each_level_risks(window: Window) -> None:
    lines = window.ask("life", "P-1").lines
    words = "  reminders use 5,000, the setting: nobody saw an edge of its own at its end"
    assert words in lines
    assert "    70 % at 3,500 (5 % dull), 90 % at 4,500 (8 % dull)" in lines
    assert "    100 % at 5,000 (10 % dull), 120 % at 6,000 (15 % dull)" in lines
    window.ask("grind", "P-1", "--off", "0.2mm", "--found", "overdue")
    told = window.ask("life", "P-1", "--json").json
    kept = told["interval"]
    assert (told["kept"], told["learned"]["own_edges"], kept < 5000) == (True, 1, True)
    assert [one["share"] for one in told["levels"]] == [0.7, 0.9, 1.0, 1.2]
    said = window.ask("life", "P-1")
    assert f"  reminders use {kept:,.0f}, learned from 1 edge of its own" in said.lines
    assert max(len(line) for line in said.lines) <= 80
    window.ask("log", "P-8", "3000", "thru", "3/8")
    window.ask("grind", "P-8", "--off", "0.2mm", "--found", "overdue")
    today = window.ask("life", "P-1", "--json").json["learned"]["reminders_today"]
    words = f"reminders use {kept:,.0f}, learned from 1 edge of its own; today's: {today:,.0f}"
    assert words in window.ask("life", "P-1").out


def test_it_says_how_many_were_told_and_what_silence_costs(window: Window) -> None:
    window.ask("grind", "P-1", "--off", "0.2mm")
    shown = " ".join(window.ask("life", "P-1").out.split())
    assert "0 of 1 told: nobody knows how they were, so the setting of 5,000 holds" in shown
    assert "50 in 100 edges would be dull at it, not 10" in shown
    window.ask("log", "P-1", "4000", "thru", "3/8")
    window.ask("grind", "P-1", "--off", "0.2mm", "--found", "overdue", "--again")
    shown = " ".join(window.ask("life", "P-1").out.split())
    assert "1 of 2 told: of the other 1 about 0 were dull" in shown
    told = window.ask("life", "P-1", "--json").json["learned"]
    assert (told["ground"], told["told"], 0 < told["silent_dull"] < 1) == (2, 1, True)


def test_show_says_which_interval_is_in_use_and_why(window: Window) -> None:
    assert "interval 5,000, the shop's setting" in " ".join(window.ask("show", "P-1").out.split())
    window.ask("grind", "P-1", "--off", "0.2mm", "--found", "overdue")
    told = window.ask("show", "P-1", "--json").json
    kept = told["learned_strokes"]
    assert told["interval"] == kept < 5000
    words = f"interval {kept:,} learned from 1 edge; the shop's setting is 5,000"
    assert words in " ".join(window.ask("show", "P-1").out.split())


def test_a_finding_that_is_not_known_is_a_wrong_request(window: Window) -> None:
    said = window.ask("grind", "P-1", "--off", "0.2mm", "--found", "blunt")
    assert (said.status, said.out) == (2, "")
    assert "sharp, right, overdue, chipped" in said.err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["P-9"], "no piece with tag and no kind called 'P-9'"),
        (["N-1"], "it has no edge that dulls"),
        (["P-1", "--to-come", "0"], "more=0 must be 1 to 1,000,000"),
    ],
)
def test_a_wrong_request_says_why(window: Window, words: list[str], told: str) -> None:
    said = window.ask("life", *words)
    assert (said.status, said.out) == (2, "")
    assert told in said.err


def test_show_of_a_tool_without_an_edge_says_nothing_learned(window: Window) -> None:
    assert window.ask("show", "N-1", "--json").json["learned"] is None
    assert "learned" not in window.ask("show", "N-1").out


def test_enough_edges_show_a_shape_that_can_be_held(window: Window) -> None:
    assert (
        window.ask(
            "rules", "life.least_events_for_shape", "5", "--why", "few yet", "--by", "nights"
        ).status
        == 0
    )
    for count in ("4000", "6000", "7000", "8000", "10000"):
        window.ask("log", "P-2", count, "thru", "3/8", "--sure")
        window.ask("grind", "P-2", "--off", "0.05mm", "--found", "right", "--again")
    said = window.ask("life", "P-2")
    assert (said.status, said.err) == (0, "")
    shown = " ".join(said.out.split())
    told = window.ask("life", "P-2", "--json").json["shape"]
    assert (told["held"], told["dull"], told["pool"]) == (2.5, 5, "this kind")
    low, high = f"{told['low']:.1f}", f"{told['high']:.1f}"
    assert f"show a shape of {told['shape']:.1f} ({low} to {high}), from 5 dull ones" in shown
    assert "(this kind, by what was said); life.shape is 2.5" in shown
    assert f"with it 10 % are dull after {told['at_10']:,.0f}, 50 % after" in shown
    assert "to hold it: crib life P-2 --keep-shape --by NAME" in shown
    assert max(len(line) for line in said.lines) <= 80
    kept = window.ask("life", "P-2", "--keep-shape", "--by", "nights")
    assert (kept.status, kept.err) == (0, "")
    assert kept.lines[0].startswith("life.shape: 2.5 -> ")
    assert kept.lines[-1] == "  put it back: crib rules life.shape 2.5 --by NAME --why TEXT"
    assert "to hold it" not in window.ask("life", "P-2").out


def test_a_shape_that_is_open_cannot_be_held(window: Window) -> None:
    said = window.ask("life", "P-1", "--keep-shape")
    assert (said.status, said.out) == (2, "")
    assert "20 more are needed; say at each grind how it was" in said.err


def test_no_fit_is_loaded_while_too_few_edges_were_found_dull(window: Window) -> None:
    asked = [["due"], ["show", "P-1"], ["life", "P-1"]]
    code = (
        "import sys; from crib.cli.main import main;"
        f"[main([*words, '--json', '--crib', {str(window.path)!r}]) for words in {asked!r}];"
        "print(sorted({'scipy', 'numpy'} & set(sys.modules)), file=sys.stderr)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert ran.stderr.strip() == "[]"
