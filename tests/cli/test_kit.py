"""``crib kit`` on an 80-column screen, as JSON and on paper."""

from __future__ import annotations

import json
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path

import pytest

from crib.stock.engine.opening import open_crib
from tests.cli.asking import Answer, Window
from tests.desk.kitting import DUE, FIRST, SECOND, kit_shop
from tests.desk.planned import plan_job, run

OUT = ("--to", "bench 2")


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    kit_shop(tmp_path / "shop.crib", "P-0138").close()
    return Window(tmp_path / "shop.crib", capsys)


def fits(said: Answer) -> str:
    """What a screen says, when it was answered and fits: only a file's long name stands alone."""
    assert (said.status, said.err) == (0, "")
    too_long = [line for line in said.out.splitlines() if len(line) > 80]
    assert [line for line in too_long if len(line.split()) > 1] == []
    return said.out


def test_the_kit_is_shown_with_its_walk(window: Window) -> None:
    said = fits(window.ask("kit", SECOND))
    assert said.splitlines()[0] == f"Job {SECOND}, due {DUE}: 65 strokes to go"
    for word in ("take from", "P-0137", "A1", "sound", "B2: hole 7/8"):
        assert word in said


def test_a_conflict_says_whose_and_what_to_take(window: Window) -> None:
    fits(window.ask("kit", "hold", FIRST))
    shown = " ".join(fits(window.ask("kit", SECOND)).split())
    assert "In the way:" in shown
    assert f"P-0137 is promised to job {FIRST}, due {DUE}; take P-0138 (A3) instead" in shown
    assert f"D-0201 is promised to job {FIRST}, due {DUE}; no other copy is free" in shown
    refused = window.ask("kit", "hold", SECOND)
    assert refused.status == 2
    assert f"D-0201 is promised to job {FIRST}" in refused.err
    assert "Nothing was promised" in refused.err


def test_what_broke_and_no_run_takes_any_more_is_not_in_the_way(window: Window) -> None:
    fits(window.ask("kit", "out", SECOND, *OUT))
    fits(window.ask("broke", "P-0137", "snapped"))
    fits(window.ask("look", "D-0201", "--inspected"))
    assert "P-0137 is broken; take P-0138 (A3) instead" in fits(window.ask("kit", SECOND))
    with closing(open_crib(window.path)) as session:
        plan_job(session, SECOND, run(session, "P-0138", 40, die="D-0201"))
    shown = fits(window.ask("kit", SECOND))
    assert "No run takes it now:\n  P-0137 is broken\n" in shown
    assert "In the way" not in shown


def test_the_way_of_a_kit_out_and_back(window: Window) -> None:
    assert "Promised 4 pieces to job 24-118." in fits(window.ask("kit", "hold", SECOND))
    out = fits(window.ask("kit", "out", SECOND, *OUT, "--until", "2099-01-02"))
    assert "Handed out 4 pieces to bench 2, back by 2099-01-02." in out
    assert "Out with bench 2, back by 2099-01-02:" in out
    listed = fits(window.ask("kit")).splitlines()
    assert listed[0].startswith("Job 24-118: out with bench 2 since ")
    assert listed[0].endswith(", back by 2099-01-02:")
    assert listed[1:] == ["  D-0201, D-0204, P-0137, P-0140"]
    assert "nothing is late" in fits(window.ask("kit", "late"))
    back = fits(window.ask("kit", "back", SECOND, "P-0140=30"))
    assert "Job 24-118: 4 pieces back" in back
    assert "as planned, estimate" in back
    assert "counted" in back
    assert "wrong? crib undo --act" in " ".join(back.split())
    assert "nothing is promised or out" in fits(window.ask("kit"))


def test_what_is_late_says_how_late(window: Window) -> None:
    window.ask("kit", "lend", "P-0137", "--to", "bench 2")
    with closing(open_crib(window.path)) as shop, shop.writing():
        shop.run("UPDATE hold SET due_back = ?", (str(date.today() - timedelta(days=4)),))
    assert "4 days LATE:" in fits(window.ask("kit", "late"))
    assert window.ask("kit", "late", "--json").json["pieces"][0]["days_late"] == 4


def test_json_has_the_kit_and_what_was_done(window: Window) -> None:
    made = window.ask("kit", "hold", SECOND, "--json").json
    assert (made["job"], sorted(made["tags"])) == (
        SECOND,
        ["D-0201", "D-0204", "P-0137", "P-0140"],
    )
    first = made["pieces"][0]
    assert (first["tag"], first["state"], first["place"], first["spare"]) == (
        "P-0137",
        "held",
        "A1",
        False,
    )
    window.ask("kit", "out", SECOND, *OUT)
    held = window.ask("kit", "--json").json["pieces"]
    assert {one["holder"] for one in held} == {"bench 2"}
    back = window.ask("kit", "back", SECOND, "--json").json
    assert {one["tag"]: one["count"] for one in back["strokes"]} == {"P-0137": 40, "P-0140": 25}


def test_a_loan_without_a_job(window: Window) -> None:
    lent = fits(window.ask("kit", "lend", "P-0137", "--to", "Old quay", "--new-place"))
    assert "Lent 1 piece to Old quay" in lent
    assert "out with Old quay until" in fits(window.ask("show", "P-0137"))
    assert "Loan: 1 piece back" in fits(window.ask("kit", "back", "p-0137"))


def test_the_kit_list_is_written_once(window: Window) -> None:
    paper = window.path.parent / "kit.pdf"
    assert "Kit list written" in fits(window.ask("kit", SECOND, "--draw", str(paper)))
    assert paper.read_bytes().startswith(b"%PDF")
    again = window.ask("kit", SECOND, "--draw", str(paper))
    assert (again.status, "is there already" in again.err) == (2, True)


def test_a_kit_is_drawn_as_it_is_promised_and_not_promised_over_a_file(window: Window) -> None:
    paper = window.path.parent / "hold.pdf"
    said = fits(window.ask("kit", "hold", SECOND, "--draw", str(paper)))
    assert "romised" in said
    assert "kit list written" in said
    held = window.ask("kit").out
    again = window.ask("kit", "hold", FIRST, "--draw", str(paper))
    assert (again.status, "is there already" in again.err) == (2, True)
    assert window.ask("kit").out == held


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("release", SECOND, "--draw", "kit.pdf"), "No such option: --draw"),
        (("hold", SECOND, "--out"), "No such option: --out"),
        (("hold", SECOND, "out"), "no job is called '24-118 out'"),
        (("hold",), "Missing argument 'JOB'"),
        (("show", "--draw", "kit.pdf"), "Missing argument 'JOB'"),
        (("lend", "--to", "bench 2"), "Missing argument 'TAG'"),
        (("24-999",), "no job is called '24-999'"),
        (("out", SECOND), "who takes them?"),
        (("back", "P-0137"), "P-0137 is not lent to anybody"),
        (("back", "24-999"), "no job is called '24-999'"),
        (("back", SECOND, "P-0137=many"), "'P-0137=many' is not a tag with its count"),
        (("back", "P-0137=4"), "which job's kit is back?"),
        (("release", SECOND), "nothing is promised to job 24-118"),
        ((SECOND, "P-0137=4"), "P-0137=4 is a count"),
        (("hold", SECOND, "P-0137=4"), "said with `crib kit back 24-118 P-0137=4`"),
        (("back", SECOND, "--no-strokes", "P-0137=4"), "counts were given, and that no"),
    ],
)
def test_what_cannot_be_is_said_clearly(window: Window, words: tuple[str, ...], said: str) -> None:
    answer = window.ask("kit", *words)
    assert (answer.status, answer.out) == (2, "")
    assert said in answer.err


def test_what_helps_is_an_act_with_its_figures_for_programs(window: Window) -> None:
    window.ask("kit", "hold", FIRST)
    said = window.ask("retire", "P-0137", "--why", "worn", "--json")
    unknown = json.loads(window.ask("kit", "hold", "24-999", "--json").err)["error"]
    assert (said.status, unknown["acts"]) == (0, [{"name": "jobs"}])
    assert unknown["way_out"] == "`crib jobs` lists the open jobs"
    twice = json.loads(window.ask("retire", "P-0137", "--why", "worn", "--json").err)["error"]
    assert twice["acts"] == [{"name": "history", "tag": "P-0137"}]


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (("kit", "hold", "--banana"), "crib kit hold"),
        (("KIT", "Hold"), "crib kit hold"),
        (("kit", SECOND, "--hold"), "crib kit"),
        (("kit", "--banana", SECOND), "crib kit"),
        (("--banana", "kit"), "crib"),
    ],
)
def test_what_cannot_be_read_names_the_command_that_was_typed(
    window: Window, words: tuple[str, ...], named: str
) -> None:
    assert f"`{named} --help` shows how" in window.ask(*words).err


def test_a_job_called_like_a_sub_command_is_shown_by_its_whole_name(window: Window) -> None:
    with closing(open_crib(window.path)) as shop, shop.writing():
        shop.run("UPDATE job SET name = 'late' WHERE name = ?", (SECOND,))
    assert "Job late, due" in fits(window.ask("kit", "show", "late"))
    assert "nothing is late" in fits(window.ask("kit", "late"))


def test_a_job_is_shown_with_or_without_the_word(window: Window) -> None:
    whole = window.ask("kit", "show", SECOND, "--json").json
    assert window.ask("kit", SECOND, "--json").json == whole
    assert window.ask("kit", "--json", SECOND).json == whole
    assert window.ask("KIT", "Show", SECOND, "--json").json == whole
