"""Narrow and wide screens: no line is longer than the screen, and no word of it is broken."""

from __future__ import annotations

from io import StringIO
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.cli.door import console, table
from crib.cli.screens.log_prompts import say
from crib.cli.shop_table import narrowed
from tests.cli.asking import Window
from tests.demo_crib import demo_crib
from tests.desk.planning import part_list

WIDTHS = (60, 80, 120)
AMPLE = 1000
"""So wide that nothing wraps: what is a word there is a whole word."""
HOLES = {False: "hole 13/16 thru 3/8 A36", True: "hole 18 thru 10 S235"}
MISSES = {False: "hole 15/16 thru 3/8 A36", True: "hole 21.5 thru 10 S235"}
SLOTS = {False: "slot 13/16 x 1 thru 3/8 A36", True: "slot 18 x 30 thru 10 S235"}


@pytest.fixture(params=[False, True], ids=["inch", "metric"])
def told(
    request: pytest.FixtureRequest,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> tuple[Window, list[str]]:
    """A demo crib with a job kept and a kit promised, and the questions to ask of it."""
    monkeypatch.chdir(tmp_path)
    window = Window(Path("demo.crib"), capsys)
    metric = bool(request.param)
    demo_crib(Path("demo.crib"), metric=metric).close()
    hole, miss = HOLES[metric], MISSES[metric]
    part_list(Path("parts.csv"), ("B1", phrase(hole, metric), 12, 4))
    kept = window.ask("plan", "parts.csv", "--job", "26-100", "--keep")
    assert kept.status == 0, kept.err
    assert window.ask("kit", "hold", "26-100").status == 0
    asked = [f"find {hole}", f"find {miss}", f"find {SLOTS[metric]}", f"compare {hole}"]
    asked += ["due", "due --all", "show P-0116", "stock", "stock die obround", "stock --all"]
    asked += ["plan parts.csv", "plan --job 26-100", "jobs", "jobs 26-100", "kit", "kit 26-100"]
    asked += ["buy", "order", "wants", "history", "check", "forecast", "life P-0116"]
    asked += ["log P-0116 40"]
    return window, asked


def phrase(said: str, metric: bool) -> str:
    """A phrase whose sizes have their unit, as a part list wants it."""
    unit = "mm" if metric else "in"
    return " ".join(f"{word}{unit}" if word[0].isdigit() else word for word in said.split())


def test_no_line_is_longer_and_no_word_is_broken(
    told: tuple[Window, list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    window, asked = told
    before = window.path.read_bytes()
    for question in asked:
        monkeypatch.setenv("COLUMNS", str(AMPLE))
        window.path.write_bytes(before)
        whole = window.ask(*question.split())
        assert whole.status in (0, 1, 3), (question, whole.err)
        words = words_of(whole.out + whole.crib)
        for width in WIDTHS:
            monkeypatch.setenv("COLUMNS", str(width))
            window.path.write_bytes(before)
            said = window.ask(*question.split())
            assert [line for line in said.lines if len(line) > width] == [], (question, width)
            assert words_of(said.out) <= words, (question, width, words_of(said.out) - words)


@pytest.mark.parametrize("width", WIDTHS)
def test_the_prompts_of_a_shift_break_no_word(
    width: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    text = "  North bay ironworker / main punch: P-0139 round punch 13/16 in over D-0202 27/32 in"
    say(text)
    lines = capsys.readouterr().err.splitlines()
    assert " ".join(lines).split() == text.split()
    assert max(map(len, lines)) <= width


def words_of(text: str) -> set[str]:
    """The words of a screen, without the rules of its tables and the names before stacked cells."""
    words = text.replace(";", " ").split()
    return {one for one in words if not set(one) <= {"\u2500"} and not is_name(one)}


def is_name(word: str) -> bool:
    """Whether it may be the name of a column beside a cell of a stacked row."""
    return word.endswith(":") and word[:-1].isalpha()


def test_a_table_too_wide_for_its_screen_stacks_what_it_says() -> None:
    screen = console(held := StringIO())
    screen.width = 28
    shown = table("tag", "what", "strokes", right=("strokes",))
    shown.add_row("P-0137", "a-word-of-some-length-it", "12,400")
    screen.print(shown)
    assert [line.rstrip() for line in held.getvalue().splitlines()] == [
        "P-0137",
        "  what:",
        "  a-word-of-some-length-it;",
        "  strokes: 12,400",
    ]


@given(st.lists(st.tuples(st.integers(1, 30), st.integers(0, 40)), min_size=1), st.integers(0, 99))
def test_columns_narrow_to_their_room_and_none_below_its_least(
    columns: list[tuple[int, int]], spare: int
) -> None:
    least = [one for one, _more in columns]
    widths = [one + more for one, more in columns]
    room = sum(least) + spare
    made = narrowed(widths, least, room)
    assert sum(made) == min(room, sum(widths))
    assert all(low <= now <= most for low, now, most in zip(least, made, widths, strict=True))
