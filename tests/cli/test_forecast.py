"""``crib forecast`` on the screen, as JSON and as a calendar file."""

from __future__ import annotations

import subprocess
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from crib.desk.strokes.log import LogOptions, log_words
from crib.stock.queries.pieces import piece_by_tag
from tests.cli.asking import Window
from tests.house import ROOT
from tests.shop import add_piece, small_shop

LONG_TAG = "P-0137-AND-A-LONG-TAG"


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    session = small_shop(tmp_path / "shop.crib")
    kind = piece_by_tag(session, "P-0137").kind_id
    tags = ["P-0150", "P-0151", "P-0152", "P-0153", LONG_TAG]
    for tag in tags:
        add_piece(session, tag, kind, wear=4990)
    add_piece(session, "P-0160", kind, wear=4800)
    yesterday = datetime.now(UTC) - timedelta(days=1)
    words = [word for tag in (*tags, "P-0160") for word in (tag, "40", "thru", "3/8")]
    log_words(session, words, LogOptions(), yesterday)
    session.close()
    return Window(tmp_path / "shop.crib", capsys)


def test_the_weeks_ahead_stand_as_a_grid_with_a_list_beneath(window: Window) -> None:
    said = window.ask("forecast")
    assert (said.status, said.err) == (0, "")
    assert max(len(line) for line in said.lines) <= 80
    assert said.lines[1].split("│")[1:8] == [
        name.ljust(10) for name in ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    ]
    assert "+3 more" in said.out
    assert LONG_TAG in said.out.replace("\n", "")
    assert "grind it" in said.out
    assert "and 1 more later: crib forecast --all" in said.out


def test_today_is_marked_and_other_days_have_their_date(window: Window) -> None:
    said = window.ask("forecast", "--weeks", "1")
    today = date.today()
    assert f"{today.day} {today:%b} now" in said.out
    last = today + timedelta(days=6)
    assert f"{last.day} {last:%b}" in said.out


def test_a_closed_day_says_so(window: Window) -> None:
    today = date.today()
    span = f"{today} to {today + timedelta(days=6)}"
    window.ask("rules", "shift.closed_days", span, "--why", "summer", "--by", "nights")
    said = window.ask("forecast")
    assert said.out.count("closed") == 5
    assert max(len(line) for line in said.lines) <= 80


def test_json_carries_every_level(window: Window) -> None:
    said = window.ask("forecast", "--all", "--json")
    assert (said.status, said.err) == (0, "")
    assert {one["tag"] for one in said.json["pieces"]} >= {"P-0150", "P-0160"}
    for one in said.json["pieces"]:
        assert one["plan_on"] <= one["after_job_on"] <= one["due_on"]
    assert said.json["later"] == 0


def test_a_calendar_file_is_written_and_its_own_written_over(
    window: Window, tmp_path: Path
) -> None:
    file = tmp_path / "due.ics"
    for _time in range(2):
        said = window.ask("forecast", "--ics", str(file))
        assert said.lines[-1] == f"{file}: 5 days written"
    file.write_text("notes")
    said = window.ask("forecast", "--ics", str(file))
    assert (said.status, said.out) == (2, "")
    assert "crib did not write it" in said.err


def test_nothing_due_is_said_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    small_shop(tmp_path / "quiet.crib").close()
    said = Window(tmp_path / "quiet.crib", capsys).ask("forecast")
    assert "nothing comes due until" in said.out


def test_a_forecast_loads_no_calendar_library(tmp_path: Path) -> None:
    small_shop(tmp_path / "shop.crib").close()
    code = (
        "import sys; from crib.cli.main import main;"
        f"main(['forecast', '--json', '--crib', {str(tmp_path / 'shop.crib')!r}]);"
        "heavy = {'icalendar', 'sqlmodel', 'scipy', 'numpy', 'reportlab', 'pint'};"
        "print(sorted(heavy & set(sys.modules)), file=sys.stderr)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert ran.stderr.strip() == "[]"
