"""``crib find`` on an 80-column screen, as JSON, and when the request is wrong."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest

from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.cli.asking import Answer, Window
from tests.desk.asks import change, enter
from tests.shop import add_kind, add_piece, small_shop

HOLE = ("hole", "13/16", "thru", "3/8", "A36")
MISS = ("hole", "15/16", "thru", "3/8", "A36")
THIN = ("hole", "5/16", "thru", "3/8", "A36")


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    small_shop(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def opened(window: Window) -> Session:
    return open_crib(window.path)


def fits(said: Answer) -> None:
    assert max(len(line) for line in said.lines) <= 80
    assert "\x1b" not in said.out


def test_a_hit_names_tag_drawer_and_station_and_exits_0(window: Window) -> None:
    said = window.ask("find", *HOLE)
    assert (said.status, said.err) == (0, "")
    fits(said)
    assert said.lines[0] == "hole 13/16 thru 3/8 A36"
    assert "Use Ironworker 1 / punch:" in said.lines
    rows = [line.split() for line in said.lines]
    assert any(row[:2] == ["punch", "P-0137"] and "A1" in row for row in rows)
    assert any(row[:2] == ["die", "D-0201"] and "A2" in row for row in rows)
    assert "24.4 US tons of 50.0 US tons" in said.out
    assert "1/32 in total, 8.3 % of thickness" in said.out
    assert "Lock the power out to change tools" in said.out


def test_the_next_picks_stand_in_a_line_each_with_what_put_the_first_first(
    window: Window,
) -> None:
    said = window.ask("find", *HOLE)
    assert "It would also go with:" in said.lines
    assert any(line.startswith("5   P-0137 + D-0301") for line in said.lines)
    assert "Number 1 comes first for: nothing but its name; the first two are equal." in said.lines


def test_the_phrase_may_be_one_word_for_the_shell(window: Window) -> None:
    said = window.ask("find", "HOLE  13/16 THRU 3/8 a36")
    assert said.lines == window.ask("find", *HOLE).lines


def test_what_was_understood_is_shown_back_where_it_is_not_what_was_typed(window: Window) -> None:
    said, plain = window.ask("find", "hole .8125 through 3/8"), window.ask("find", *HOLE)
    assert said.lines[0] == "understood as: hole 13/16 thru 3/8 A36"
    assert said.lines[1 : len(plain.lines) // 2] == plain.lines[1 : len(plain.lines) // 2]
    told = window.ask("find", "hole .8125 through 3/8", "--json").json["ask"]
    assert told["understood_as"] == "hole 13/16 thru 3/8 A36"
    assert window.ask("find", *HOLE, "--json").json["ask"]["understood_as"] is None


def test_a_count_in_the_phrase_and_as_an_option_are_the_same(window: Window) -> None:
    said = window.ask("find", *HOLE, "for", "300")
    assert said.lines == window.ask("find", *HOLE, "--for", "300").lines
    assert said.lines[0] == "hole 13/16 thru 3/8 A36, 300 of them"
    assert "lasts 300 at 1.00 each: P-0137 ends at 6 %" in said.out


def test_a_count_out_of_hand_is_told_where_it_runs_out(window: Window) -> None:
    said = window.ask("find", *HOLE, "for", "12000")
    assert said.status == 0
    fits(said)
    assert "12,000 of them" in said.lines[0]
    assert "CAUTION   lasting" in said.out
    assert "dull at hole 5,000 of 12,000" in said.out


def test_a_miss_exits_3_with_funnel_order_and_meanwhile(window: Window) -> None:
    said = window.ask("find", *MISS, "--job", "J-7")
    assert (said.status, said.err) == (3, "")
    fits(said)
    assert "Nothing in the crib serves." in said.lines
    assert "wanted 15/16 in, nearest 7/8 in" in said.out
    assert "Order:" in said.lines
    assert any(line.startswith("  - 1 punch, round 15/16 in, seat A:") for line in said.lines)
    assert any(line.startswith("    because no die at hand serves") for line in said.lines)
    assert "Meanwhile, cheapest first:" in said.lines
    told = "Note: remembered for buying for job J-7; not meant? `crib wants strike 1 --why TEXT`."
    assert told in " ".join(said.out.split())


def test_what_must_not_be_punched_says_so_before_anything_else(window: Window) -> None:
    said = window.ask("find", *THIN)
    assert said.status == 3
    fits(said)
    at = said.lines.index("Nothing in the crib serves.")
    assert said.lines[at + 1].startswith("Nothing to order would help either: narrowest size is")
    assert "STOP   hole to thickness" in said.out
    assert "Order:" not in said.lines
    assert "  - drill 5/16 in, or cut it with an annular cutter" in said.lines


def test_json_is_one_object_and_nothing_else_on_stdout(window: Window) -> None:
    for words, status in ((HOLE, 0), (MISS, 3), (THIN, 3)):
        said = window.ask("find", *words, "--json")
        assert (said.status, said.err) == (status, "")
        made = said.json
        assert {"ask", "picks", "near_misses", "order", "workarounds"} <= set(made)
        assert bool(made["picks"]) == (status == 0)


@pytest.mark.parametrize(
    ("phrase", "carets", "words"),
    [
        ("hole 13/16 tru 3/8", "             ^^^", "expected 'thru', found 'tru'"),
        ("hole 0,8 thru 3/8", "       ^^^", "a comma is not part of a number"),
        ("hole 13/16 thru 3/8 for 0", "                          ^", "at least one hole"),
        ("hoel 13/16 thru 3/8", "  ^^^^", "'hoel' is not a feature"),
    ],
)
def test_a_phrase_that_cannot_be_read_exits_2_and_points_at_the_word(
    window: Window, phrase: str, carets: str, words: str
) -> None:
    said = window.ask("find", *phrase.split())
    assert (said.status, said.out) == (2, "")
    lines = said.err.splitlines()
    assert words in lines[0]
    assert lines[1:3] == [f"  {phrase}", carets]
    assert lines[3].startswith("  -> ")


def test_an_error_for_programs_says_where_the_word_stands(window: Window) -> None:
    said = window.ask("find", "hole", "13/16", "tru", "3/8", "--json")
    assert (said.status, said.out) == (2, "")
    error = json.loads(said.err)["error"]
    assert (error["code"], error["start"], error["end"]) == ("bad-phrase", 11, 14)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--code", "BS 7"), "unknown code 'BS 7'"),
        (("--cert-yield", "fifty"), "stress 'fifty' cannot be read"),
        (("--exc", "5"), "'--exc'"),
        (("--for", "0"), "'--for'"),
        (("--finish", "--rough"), "--finish and --rough cannot both be"),
        (("--with", "P-0173"), "no piece with tag 'P-0173'"),
        (("--by", "nobody"), "nobody is called 'nobody'"),
        (("--frobnicate",), "No such option"),
    ],
)
def test_a_wrong_option_exits_2_and_remembers_nothing(
    window: Window, options: tuple[str, ...], words: str
) -> None:
    said = window.ask("find", *MISS, *options)
    assert (said.status, said.out) == (2, "")
    assert words in said.err
    with_wants = opened(window)
    assert with_wants.value("SELECT count(*) FROM want") == 0
    with_wants.close()


def test_no_want_remembers_nothing(window: Window) -> None:
    assert window.ask("find", *MISS, "--no-want").status == 3
    shop = opened(window)
    assert shop.value("SELECT count(*) FROM want") == 0
    shop.close()


def test_with_takes_the_piece_that_is_named(window: Window) -> None:
    said = window.ask("find", *HOLE, "--with", "d-0202", "--json")
    assert {pick["pieces"][1]["tag"] for pick in said.json["picks"]} == {"D-0202"}


def test_with_a_piece_that_will_not_do_stops_and_says_what_would(window: Window) -> None:
    said = window.ask("find", *HOLE, "--with", "P-0140", "--with", "D-0201")
    assert said.status == 3
    fits(said)
    assert "P-0140 + D-0201 will not do." in said.lines
    assert "never run this pair" in said.out
    assert "Instead:" in said.lines
    assert any(line.startswith("  - take P-0137 and D-0201 in") for line in said.lines)


def test_why_shows_every_check_with_its_source(window: Window) -> None:
    said = window.ask("find", *HOLE, "--checks")
    fits(said)
    assert "Checks of 1: P-0137 + D-0201 in Ironworker 1 / punch" in said.lines
    for check in ("hole to thickness", "size", "seat", "body", "punch stress", "die wall", "edge"):
        assert f"ok   {check}" in said.out
    assert "[declared by the shop]" in said.out
    assert said.out.count("Checks of") == 5


def test_why_shows_the_checks_of_a_miss_too(window: Window) -> None:
    said = window.ask("find", *THIN, "--checks")
    assert said.status == 3
    fits(said)
    assert "Checks of 1: P-0137 + D-0201 in Ironworker 1 / punch" in said.lines


def test_a_caution_is_a_word_and_not_a_colour(window: Window) -> None:
    shop = opened(window)
    enter(shop, "P-0137", "strokes", quantity=5200, weighted_milli=5_200_000, strokes_edge=5200)
    shop.close()
    said = window.ask("find", *HOLE)
    fits(said)
    assert "CAUTION   edge" in said.out
    assert "P-0137 104 % of its interval, dull: grind it before the next job" in " ".join(
        said.out.split()
    )


def test_long_names_do_not_break_the_screen(window: Window) -> None:
    shop = opened(window)
    name = "A punch of a very long name that somebody typed out of an old paper catalogue, page 7"
    kind = add_kind(shop, role="punch", width="13/16", seat_id=1, name=name)
    add_piece(shop, "P-01234567890123456789", kind)
    change(shop, "UPDATE place SET name = 'The third drawer of the tall cabinet by the window'"
                 " WHERE name = 'A2'")  # fmt: skip
    change(shop, "UPDATE machine SET name = 'The big ironworker at the far end' WHERE id = 1")
    shop.close()
    for words in (HOLE, MISS, (*HOLE, "--checks"), (*HOLE, "--with", "P-01234567890123456789")):
        fits(window.ask("find", *words))


def test_a_reamed_hole_says_what_is_punched_and_what_is_finished(window: Window) -> None:
    phrase = ("hole", "15/16", "thru", "3/8", "A36", "ream")
    said = window.ask("find", *phrase, "--code", "EN 1090-2", "--exc", "3")
    assert said.status == 0
    assert said.lines[0] == "hole 15/16 thru 3/8 A36 ream"
    assert "punch under size and ream, 13/16 in to 15/16 in" in " ".join(said.out.split())


def test_a_hole_that_the_crib_cannot_punch_small_enough_is_not_punched_full_size(
    window: Window,
) -> None:
    """``ream`` is the finished size: the crib's own 13/16 pair would make it 13/16 at once."""
    said = window.ask("find", *HOLE, "ream", "--code", "EN 1090-2", "--exc", "3")
    assert said.status == 3
    assert "Taken here: none yet" in " ".join(said.out.split())


def test_the_command_of_a_workaround_carries_code_class_and_job(window: Window) -> None:
    phrase = ("hole", "15/16", "thru", "3/8", "A36")
    flags = ("--job", "J 7", "--code", "EN 1090-2", "--exc", "3", "--dynamic")
    said = window.ask("find", *phrase, *flags, "--no-want")
    command = re.search(r"\((crib find [^)]*)\)", " ".join(said.out.split()))
    assert command is not None
    words = shlex.split(command[1])
    assert words[2:] == [*phrase, "ream", *flags]
    assert window.ask(*words[1:], "--no-want").status == 0


def test_a_bolt_whose_editions_differ_is_asked_back(window: Window) -> None:
    said = window.ask("find", "bolt", "1", "thru", "1/2")
    assert (said.status, said.out) == (2, "")
    assert "`bolt 1 per AISC 360-22 thru 1/2`" in said.err


def test_a_tolerance_with_a_minus_is_no_option(window: Window) -> None:
    said = window.ask("find", "hole", "13/16", "+1/32", "-0", "thru", "3/8", "A36")
    assert said.status == 0
    assert said.lines[0] == "hole 13/16 +1/32 -0 thru 3/8 A36"
    assert window.ask("find", *HOLE, "--0").status == 2


def test_a_punch_that_stands_in_says_by_how_much(window: Window) -> None:
    phrase = ("hole", "0.800in", "±0.02", "thru", "3/8", "A36")
    said = window.ask("find", *phrase)
    assert "over its size, at most 0.02 in" in " ".join(said.out.split())
    (first, *_others) = window.ask("find", *phrase, "--json").json["picks"]
    assert first["deviation_mm"] == pytest.approx(20.6375 - 20.32)
