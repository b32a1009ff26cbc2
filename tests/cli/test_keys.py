"""Every command that writes can be sent again with its key: it counts once and answers the same."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
import typer

from crib.cli.command_list import COMMANDS, WRITES
from crib.cli.main import app
from crib.stock.engine.opening import open_crib
from tests.cli.asking import Window
from tests.demo_crib import demo_crib

ONLY_READS = frozenset(
    "due forecast chart buy compare stock show history holes export check wrap labels read"
    " cautions life jobs rules grades kit person machine supplier serve".split()
) | {"site", "kit show", "kit late", "wants", "wants show"}
"""Commands that write nothing in the crib, or (also in WRITES) only when told to."""
WHOLE_FILES = frozenset({"demo", "new", "backup", "restore", "rehouse"})
"""Commands that make or replace a crib as a whole."""

LINES = {
    "find": "hole 20 mm thru 3/8",
    "log": "P-0137 40 thru 3/8 A36",
    "sheet": "{folder}/strokes.pdf",
    "grind": "P-0137 --off 0.010in",
    "turn": "B-0603",
    "look": "P-0137 --sharp",
    "life": "P-0139 --keep-shape --by nights",
    "broke": "P-0137 chipped",
    "order": "--all --budget 300",
    "receive": "{order}",
    "add": "P-0999 --role punch --size 1/3 --seat A --shape round --place L6",
    "move": "P-0141 --to L6",
    "count": "L6 --there none --settle --why counted",
    "measure": "P-0137 --size 0.811 --why small",
    "retire": "P-0141 --why worn",
    "undo": "--act {act} --why slip",
    "grades": "X4 --family mild --tensile 500MPa --upper 650MPa --source EN --why b --by nights",
    "rules": "wear.interval_strokes 4000 --why hard --by nights",
    "person": "bench-9 --role grinder",
    "machine": "Press-9 --station punch --rating 50kN --seats A",
    "send": "P-0141 --to Quay",
    "arrive": "P-0141 --to Q1 --new-drawer --site Quay",
    "site add": "Harbour",
    "site rename": "Harbour Quay",
    "site days": "Harbour Quay 2",
    "supplier": "Northway --address Anytown",
    "import": "{folder}/places.csv",
    "plan": "--job J-2680 --keep",
    "jobs": "--close J-2681 --not-made",
    "kit hold": "J-2680",
    "kit out": "J-2680 --to nights",
    "kit back": "J-2680",
    "kit release": "J-2680",
    "kit lend": "P-0141 --to nights",
    "wants strike": "1 --why slip",
    "wants merge": "2 --into 1",
    "wants reopen": "1",
}
BEFORE = {
    "life": [
        "rules life.least_events_for_shape 5 --why few --by nights",
        *(
            line
            for count in (4000, 6000, 7000, 8000, 10000)
            for line in (
                f"log P-0139 {count} thru 3/8 A36 --sure",
                "grind P-0139 --off 0.05mm --found right --again",
            )
        ),
    ],
    "receive": ["order --all --budget 300"],
    "undo": ["log P-0137 44 thru 3/8 A36"],
    "send": ["site add Harbour", "site add Quay"],
    "arrive": ["site add Harbour", "site add Quay", "send P-0141 --to Quay"],
    "site rename": ["site add Harbour"],
    "site days": ["site add Harbour", "site add Quay"],
    "kit hold": ["plan --job J-2680 --keep"],
    "kit out": ["plan --job J-2680 --keep"],
    "kit back": ["plan --job J-2680 --keep", "kit out J-2680 --to nights"],
    "kit release": ["plan --job J-2680 --keep", "kit hold J-2680"],
    "jobs": ["plan --job J-2681 --keep"],
    "wants reopen": ["wants strike 1 --why slip"],
}


def every_command() -> Iterator[str]:
    """Every command and sub-command, as it is typed."""
    group: Any = typer.main.get_command(app)
    for name in COMMANDS:
        yield name
        yield from (
            f"{name} {sub}" for sub in getattr(group.get_command(None, name), "commands", ())
        )


def test_every_command_is_known_to_write_or_not() -> None:
    assert set(every_command()) == WRITES | ONLY_READS | WHOLE_FILES
    assert set(LINES) == WRITES


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    demo_crib(tmp_path / "demo.crib").close()
    (tmp_path / "places.csv").write_text("name,sort\nZ9,drawer\n")
    return Window(tmp_path / "demo.crib", capsys)


def filled_in(window: Window, words: str) -> list[str]:
    """A line with what is only known of the crib itself."""
    with closing(open_crib(window.path)) as session:
        act = session.value("SELECT act FROM entry ORDER BY id DESC LIMIT 1")
        order = session.value("SELECT number FROM purchase ORDER BY id DESC LIMIT 1")
    return words.format(folder=window.path.parent, act=act, order=order).split()


def rows(window: Window) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of the crib but the keys."""
    with closing(open_crib(window.path)) as session:
        names = [
            row[0] for row in session.rows("SELECT name FROM sqlite_master WHERE type='table'")
        ]
        return {
            name: [tuple(row) for row in session.rows(f"SELECT * FROM {name}")]
            for name in names
            if name != "kept_key"
        }


@pytest.mark.parametrize("name", sorted(WRITES))
def test_what_is_sent_twice_with_a_key_counts_once(window: Window, name: str) -> None:
    for line in BEFORE.get(name, ()):
        assert window.ask(*line.split()).status == 0
    words = [*name.split(), *filled_in(window, LINES[name])]
    before = rows(window)
    first = window.ask(*words, "--key", "k-1")
    assert first.err == ""
    done = rows(window)
    assert done != before
    again = window.ask(*words, "--key=k-1")
    assert (again.status, again.out, again.err) == (first.status, first.out, "")
    assert rows(window) == done
    other = window.ask(*words, "--key", "k-1", "--json")
    assert (other.status, type(other.json)) == (first.status, dict)
    assert rows(window) == done


@pytest.mark.parametrize("name", sorted(ONLY_READS - WRITES))
def test_a_command_that_only_reads_takes_no_key(window: Window, name: str) -> None:
    said = window.ask(*name.split(), "--key", "k-1")
    assert said.status == 2
    assert "No such option: --key" in said.err


def test_a_key_of_another_request_is_refused_with_what_it_was_for(window: Window) -> None:
    assert window.ask("log", "P-0137", "40", "--key", "k-1").status == 0
    before = rows(window)
    said = window.ask("log", "P-0137", "41", "--key", "k-1")
    assert said.status == 2
    assert "key 'k-1' was used for 'crib log P-0137 40 --crib" in said.err
    assert window.ask("move", "P-0137", "--to", "L6", "--key", "k-1").status == 2
    assert rows(window) == before


def test_a_sheet_with_other_lines_is_another_request(window: Window) -> None:
    sheet = window.path.parent / "night.csv"
    sheet.write_text("tag,strokes\nP-0137,40\n")
    assert window.ask("log", str(sheet), "--key", "k-1").status == 0
    sheet.write_text("tag,strokes\nP-0137,41\n")
    assert "was used for" in window.ask("log", str(sheet), "--key", "k-1").err


def test_what_was_refused_leaves_its_key_free(window: Window) -> None:
    assert window.ask("log", "P-0137", "90000", "--key", "k-1").status == 2
    assert window.ask("log", "P-0137", "90", "--key", "k-1").status == 0


def test_a_key_does_not_go_with_questions(window: Window) -> None:
    said = window.ask("log", "--key", "k-1")
    assert said.status == 2
    assert "a key goes with the lines" in said.err


@pytest.mark.parametrize("key", ["k" * 81, " ", "0,90"])
def test_a_key_that_cannot_be_is_refused(window: Window, key: str) -> None:
    said = window.ask("log", "P-0137", "40", "--key", key)
    assert (said.status, said.out) == (2, "")
    assert "a key has 1 to 80 letters and figures, a letter among them" in said.err
