"""``crib log`` on the screen, as JSON, by prompts and from a sheet."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from crib.stock.book import ledger
from crib.stock.book.ledger import NewEntry
from crib.stock.book.people import person_id
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag
from tests.cli.asking import Window
from tests.house import ROOT
from tests.shop import small_shop


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    small_shop(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


def mount(session: Session, *tags: str) -> None:
    station = session.value("SELECT id FROM place WHERE name = 'Ironworker 1 / punch'")
    for tag in tags:
        entry = NewEntry("move", piece_by_tag(session, tag).id, place_id=station)
        ledger.write(session, ledger.new_stamp(person_id(session, "")), [entry])


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))


def strokes(window: Window, tag: str) -> int:
    session = open_crib(window.path)
    found = piece_by_tag(session, tag).strokes_total
    session.close()
    return found


def test_a_line_is_counted_and_shown_with_its_reason(window: Window) -> None:
    said = window.ask("log", "P-0137", "400", "thru", "1/2", "A572-50", "with", "D-0201")
    assert (said.status, said.err) == (0, "")
    assert "P-0137: why 2.17: material 1.25 x thickness 1.333 x clearance 1.3" in said.out
    assert "D-0201: why 1.08: 0.5 of 2.17 on P-0137" in said.out
    assert "wrong? crib undo --act 6 --why TEXT" in said.out
    assert max(len(line) for line in said.lines) <= 80


def test_json_carries_the_whole_act(window: Window) -> None:
    said = window.ask("log", "P-0137", "400", "thru", "3/8", "--job", "J-1", "--by", "n", "--json")
    assert (said.status, said.out) == (2, "")
    said = window.ask("log", "P-0137", "400", "thru", "3/8", "--by", "nights", "--json")
    assert (said.status, said.err) == (0, "")
    assert said.json["by"] == "nights"
    assert said.json["entries"] == [6]
    assert said.json["became_due"] == []
    line = said.json["lines"][0]
    assert line["thickness_mm"] == 9.525
    assert (line["tag"], line["weight_each"], line["wear"], line["level"]) == (
        *("P-0137", 1.0, 400.0),
        "fine",
    )


def test_what_is_asked_back_names_the_doubt_and_the_act_for_programs(window: Window) -> None:
    line = ("log", "P-0137", "99999", "--json")
    said = window.ask(*line)
    told = json.loads(said.err)["error"]
    assert (said.status, told["code"], told["confirm"]) == (2, "ask-back", "many-strokes")
    assert told["way_out"] == "check the count; if it is right, say it with --sure"
    assert told["acts"] == [{"name": "confirm.many-strokes"}]
    assert window.ask(*line, "--sure").status == 0


def test_a_repeated_line_asks_back_and_again_answers(window: Window) -> None:
    line = ("log", "P-0137", "400", "thru", "3/8")
    window.ask(*line)
    said = window.ask(*line)
    assert (said.status, said.out) == (2, "")
    assert "looks typed already" in said.err
    assert "--again" in said.err
    assert window.ask(*line, "--again").status == 0
    assert strokes(window, "P-0137") == 800


def test_an_error_points_at_the_word(window: Window) -> None:
    said = window.ask("log", "P-0137", "400", "3/8")
    assert said.status == 2
    assert said.err.splitlines() == [
        "crib: cannot place '3/8': say thru 3/8?",
        "  P-0137 400 3/8",
        "             ^^^",
        "  -> right: P-0137 400 thru 3/8 A36",
    ]


def test_a_sheet_is_taken_once(window: Window, tmp_path: Path) -> None:
    sheet = tmp_path / "night shift.csv"
    sheet.write_text("Punch;Hits;Thickness\nP-0137;400;3/8\nP-0140;60;1/2\n")
    said = window.ask("log", str(sheet))
    assert (said.status, said.err) == (0, "")
    assert said.lines[-2].startswith("night shift.csv: 2 lines, 460 strokes taken for ")
    again = window.ask("log", str(sheet), "--by", "nights")
    assert again.status == 0
    assert "was taken already: 2 lines" in again.out
    assert "Nothing was added." in again.out
    assert strokes(window, "P-0137") == 400


def test_a_faulty_sheet_lists_its_lines(window: Window, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.csv"
    sheet.write_text("tag,count\nP-0137,400\nP-0138,60\nP-0140,many\n")
    said = window.ask("log", str(sheet))
    assert (said.status, said.out) == (2, "")
    assert "sheet.csv: 2 of 3 lines cannot be taken, so nothing was taken" in said.err
    assert "sheet.csv line 3: no piece with tag 'P-0138'" in said.err
    assert "sheet.csv line 4: count 'many' cannot be read" in said.err
    assert strokes(window, "P-0137") == 0


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("none.csv", "there is no sheet at none.csv"),
        ("shift.ods", "shift.ods is a workbook of another kind"),
    ],
)
def test_no_sheet_is_said_so(window: Window, name: str, words: str) -> None:
    said = window.ask("log", name)
    assert said.status == 2
    assert words in said.err


def test_prompts_ask_for_what_is_mounted_and_save_once(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = open_crib(window.path)
    mount(session, "P-0137", "D-0201")
    session.close()
    typed(monkeypatch, "many", "400", "3/8 A36", "y")
    said = window.ask("log")
    assert said.status == 0
    assert "Ironworker 1 / punch: P-0137" in said.err
    assert "over D-0201" in said.err
    assert "  1. P-0137 400 thru 3/8 A36\n" in said.err
    assert strokes(window, "D-0201") == 400
    typed(monkeypatch, "390", "", "y")
    assert "390" in window.ask("log").out
    assert strokes(window, "P-0137") == 790


@pytest.mark.parametrize("typed_lines", [("400", "", "n"), ("400", "")])
def test_nothing_is_counted_without_a_yes(
    window: Window, monkeypatch: pytest.MonkeyPatch, typed_lines: tuple[str, ...]
) -> None:
    session = open_crib(window.path)
    mount(session, "P-0137")
    session.close()
    typed(monkeypatch, *typed_lines)
    said = window.ask("log")
    assert (said.status, said.out) == (0, "")
    assert "nothing was counted" in said.err
    assert strokes(window, "P-0137") == 0


@pytest.mark.parametrize("typed_lines", [(), ("q",), ("", "")])
def test_prompts_without_strokes_change_nothing(
    window: Window, monkeypatch: pytest.MonkeyPatch, typed_lines: tuple[str, ...]
) -> None:
    session = open_crib(window.path)
    mount(session, "P-0137")
    session.close()
    typed(monkeypatch, *typed_lines)
    said = window.ask("log")
    assert said.status == 2
    assert "no strokes were given" in said.err


def test_prompts_with_nothing_mounted_say_so(window: Window) -> None:
    said = window.ask("log")
    assert said.status == 2
    assert "nothing is mounted in any station" in said.err


@pytest.mark.parametrize(("answer", "total"), [("y", 800), ("n", 400)])
def test_a_repeat_is_asked_in_the_prompts_too(
    window: Window, monkeypatch: pytest.MonkeyPatch, answer: str, total: int
) -> None:
    session = open_crib(window.path)
    mount(session, "P-0137")
    session.close()
    window.ask("log", "P-0137", "400", "thru", "3/8")
    typed(monkeypatch, "400", "", "y", answer)
    assert "looks typed already" in window.ask("log").err
    assert strokes(window, "P-0137") == total


def test_counting_loads_nothing_heavy(tmp_path: Path) -> None:
    small_shop(tmp_path / "shop.crib").close()
    code = (
        "import sys; from pathlib import Path; import crib.cli.commands.log;"
        "from crib.desk.strokes.log import LogOptions, log_words;"
        "from crib.stock.engine.opening import open_crib;"
        f"session = open_crib(Path({str(tmp_path / 'shop.crib')!r}));"
        "log_words(session, 'P-0137 400 thru 10ga A36'.split(), LogOptions()); session.close();"
        "heavy = {'sqlmodel', 'sqlalchemy', 'pint', 'rich', 'alembic', 'openpyxl'};"
        "print(sorted(heavy & {name.partition('.')[0] for name in sys.modules}))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert ran.stdout.strip() == "[]"


def test_a_share_is_never_parted_from_its_sign(window: Window) -> None:
    short = window.ask("log", "P-0137", "850", "thru", "3/8")
    assert "850 of 5,000, 17 % " in short.out
    long = window.ask("log", "P-0137", "3400", "thru", "3/8", "--sure")
    assert (long.status, long.err) == (0, "")
    assert "4,250 of 5,000, " in long.out
    assert "85 %" in [line.strip() for line in long.lines]
    assert max(len(line) for line in [*short.lines, *long.lines]) <= 80
