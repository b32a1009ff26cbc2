"""The demo crib: up to date, and never in place of somebody's own."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from crib.cli.main import main
from crib.desk.book.demo import FOLDERS, DemoMade, make_demo, move_dates, show_demo
from crib.desk.common.which_crib import DEMO_SHOPS
from crib.errors import CribDamaged, Refused
from crib.stock.book import ledger
from crib.stock.book.ledger import new_stamp
from crib.stock.book.people import person_id
from crib.stock.book.settings import set_rule
from crib.stock.engine.folders import home_folder, seed_folder
from crib.stock.engine.opening import open_crib
from crib.units import System
from tests.cli.asking import Window
from tests.demo_crib import NOW, demo_crib
from tests.shop import new_crib


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    return Window(tmp_path / "demo.crib", capsys)


@pytest.fixture(scope="module", params=DEMO_SHOPS)
def shown(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> DemoMade:
    """A demo crib in inches or millimetres, and the main job taken through it once."""
    path = tmp_path_factory.mktemp("shown") / "demo.crib"
    return show_demo(path, metric=request.param == "mm", now=NOW)


@pytest.mark.parametrize("metric", [False, True])
def test_the_last_shift_was_yesterday(tmp_path: Path, metric: bool) -> None:
    made = make_demo(tmp_path / "demo.crib", metric=metric, now=NOW)
    yesterday = NOW.astimezone().date() - timedelta(days=1)
    assert made.last_shift == yesterday.isoformat()
    session = open_crib(tmp_path / "demo.crib")
    assert ledger.rebuild(session) == []
    latest = session.value("SELECT max(made_at) FROM entry")
    assert datetime.fromisoformat(latest) < NOW
    session.close()


def test_it_is_made_from_the_real_clock(tmp_path: Path) -> None:
    made = make_demo(tmp_path / "demo.crib")
    assert made.last_shift == (date.today() - timedelta(days=1)).isoformat()


def test_only_the_crib_is_left_in_the_folder(tmp_path: Path) -> None:
    made = make_demo(tmp_path / "new" / "demo.crib", now=NOW)
    assert made.path == str(tmp_path / "new" / "demo.crib")
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["demo.crib"]


def test_dates_move_together_and_nothing_else_does(tmp_path: Path) -> None:
    source = seed_folder() / "inch"
    move_dates(source, tmp_path / "moved", date(2027, 3, 8))
    for name in ("jobs", "orders", "kinds"):
        before = (source / f"{name}.csv").read_text("utf-8")
        after = (tmp_path / "moved" / f"{name}.csv").read_text("utf-8")
        for old, new in (
            ("2026-11-29", "2027-03-17"),
            ("2026-12-06", "2027-03-24"),
            ("2026-11-14", "2027-03-02"),
        ):
            assert before.count(old) == after.count(new)
        if name == "kinds":
            assert before == after


def test_a_moment_is_the_shops_own_clock(tmp_path: Path) -> None:
    source = tmp_path / "source"
    source.mkdir()
    text = "made at,shift on,note\n2026-11-20T16:40:00.007Z,2026-11-20,on 2026-11-20\n"
    (source / "entries.csv").write_text(text, encoding="utf-8")
    move_dates(source, tmp_path / "moved", date(2026, 11, 22))
    written = (tmp_path / "moved" / "entries.csv").read_text("utf-8").splitlines()[1]
    moment, shift, note = written.split(",")
    assert (shift, note) == ("2026-11-22", "on 2026-11-20")
    local = datetime.fromisoformat(moment).astimezone()
    assert local.replace(tzinfo=None) == datetime(2026, 11, 22, 16, 40, 0, 7000)


def test_a_file_that_is_there_is_not_touched(tmp_path: Path) -> None:
    path = tmp_path / "demo.crib"
    demo_crib(path).close()
    before = path.read_bytes()
    with pytest.raises(Refused, match="is there already"):
        make_demo(path, now=NOW)
    assert path.read_bytes() == before


def test_again_replaces_a_demo_crib(tmp_path: Path) -> None:
    path = tmp_path / "demo.crib"
    demo_crib(path).close()
    made = make_demo(path, metric=True, again=True, now=NOW)
    assert made.shop == DEMO_SHOPS["mm"]
    session = open_crib(path)
    assert session.value("SELECT count(*) FROM piece") == made.pieces
    session.close()


def test_again_does_not_replace_a_crib_of_somebodys_own(tmp_path: Path) -> None:
    path = tmp_path / "shop.crib"
    new_crib(path).close()
    with pytest.raises(Refused, match="not a demo; it is not replaced"):
        make_demo(path, again=True, now=NOW)
    session = open_crib(path)
    assert session.value("SELECT count(*) FROM piece") == 0
    session.close()


def test_a_demo_that_somebody_gave_a_name_is_his_own(tmp_path: Path) -> None:
    path = tmp_path / "demo.crib"
    session = demo_crib(path)
    set_rule(session, new_stamp(person_id(session, "")), "crib.name", "Our crib", "we keep it")
    session.close()
    with pytest.raises(Refused, match="crib of 'Our crib'"):
        make_demo(path, again=True, now=NOW)


def test_again_does_not_replace_a_file_that_is_no_crib(tmp_path: Path) -> None:
    path = tmp_path / "empty.txt"
    path.touch()
    with pytest.raises(CribDamaged, match="is not a crib"):
        make_demo(path, again=True, now=NOW)
    assert path.read_bytes() == b""


@pytest.mark.parametrize("unit", DEMO_SHOPS)
def test_the_folder_of_a_shop_bears_its_name(unit: System) -> None:
    folder = seed_folder() / FOLDERS[unit]
    assert f"crib.name,{DEMO_SHOPS[unit]}" in (folder / "rules.csv").read_text("utf-8")


def test_the_main_job_is_served_then_missed(shown: DemoMade) -> None:
    served, missed = (step.result for step in shown.steps if step.name == "find")
    assert served.serves
    assert not missed.serves
    assert missed.order


def test_the_shifts_strokes_are_counted_and_what_is_due_is_listed(shown: DemoMade) -> None:
    results = {step.name: step.result for step in shown.steps}
    punch, die = results["log"].lines
    assert (die.under, die.count) == (punch.tag, punch.count)
    assert results["due"].lines[0].used > 1.2
    session = open_crib(Path(shown.path))
    assert session.value("SELECT count(*) FROM entry") == shown.entries + 2
    session.close()


def test_the_budget_buys_something_and_not_everything(shown: DemoMade) -> None:
    (plan,) = (step.result for step in shown.steps if step.name == "buy")
    assert 0 < plan.spent_cents <= plan.budget_cents
    assert {line.within_budget for line in plan.lines} == {True, False}
    assert all(line.reasons for line in plan.lines)


@pytest.mark.parametrize("shown", ["in"], indirect=True)
def test_the_shifts_strokes_make_a_punch_due(shown: DemoMade) -> None:
    (logged,) = (step.result for step in shown.steps if step.name == "log")
    assert [one.tag for one in logged.became_due] == ["P-0137"]


@pytest.mark.parametrize("options", [[], ["--metric"]])
def test_the_screen_fits_eighty_columns(window: Window, options: list[str]) -> None:
    said = window.ask("demo", *options)
    assert (said.status, said.err) == (0, "")
    own = [line for line in said.lines if str(window.path) not in line]
    assert max(len(line) for line in own) <= 80
    assert said.lines[0] == f"made {window.path}"
    assert "Type next:" in said.lines


@pytest.mark.parametrize("options", [[], ["--metric"]])
def test_what_the_screen_says_to_type_next_answers(window: Window, options: list[str]) -> None:
    said = window.ask("demo", *options)
    words = [line.split("  ")[1].split() for line in said.lines if line.startswith("  crib ")]
    answers = {" ".join(line[1:]): window.ask(*line[1:]) for line in words if line[1] != "new"}
    assert len(answers) == 5
    missed = [line for line, answer in answers.items() if answer.status == 3]
    assert [line.split()[:2] for line in missed] == [["find", "hole"]]
    assert {answer.status for answer in answers.values()} == {0, 3}


def test_the_default_crib_needs_no_naming(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    assert main(["demo"]) == 0
    said = capsys.readouterr().out
    assert said.splitlines()[0] == f"made {home_folder() / 'demo.crib'}"
    assert "export CRIB" not in said
    assert main(["show", "P-0137"]) == 0


def test_json_is_one_object_with_every_step(window: Window) -> None:
    said = window.ask("demo", "--json")
    assert (said.status, said.err) == (0, "")
    assert said.json["shop"] == DEMO_SHOPS["in"]
    assert said.json["pieces"] >= 300
    first = said.json["steps"][0]
    assert first["command"].startswith("crib find hole 13/16")
    assert first["result"]["picks"]


def test_a_demo_in_its_own_place_is_made_anew_when_typed_again(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv("CRIB", raising=False)
    assert [main(["demo"]), main(["demo"])] == [0, 0]
    assert "already" not in capsys.readouterr().err


def test_what_was_logged_in_a_demo_is_not_thrown_away_unasked(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["demo"]) == 0
    # Looking around changes nothing that anybody would miss.
    assert main(["find", "hole", "1-3/16", "thru", "3/8", "A36"]) == 3
    assert main(["demo"]) == 0
    assert main(["log", "P-0140", "60", "thru", "1/2"]) == 0
    before = (home_folder() / "demo.crib").read_bytes()
    assert main(["demo"]) == 2
    said = capsys.readouterr().err
    assert "is a demo crib in which" in said
    assert "`crib" not in said
    assert "--overwrite" in said
    assert (home_folder() / "demo.crib").read_bytes() == before
    assert main(["demo", "--overwrite"]) == 0
    assert main(["demo"]) == 0


def test_a_second_demo_at_a_named_place_is_a_wrong_request(window: Window) -> None:
    demo_crib(window.path).close()
    said = window.ask("demo")
    assert (said.status, said.out) == (2, "")
    assert "--overwrite" in said.err
    assert window.ask("demo", "--overwrite").status == 0
