"""``crib new``, ``crib import`` and ``crib export`` at the window."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from crib.desk.book import new_crib as making
from crib.desk.tables.import_tables import take_in
from crib.errors import BadValue, Refused
from crib.stock.book.ledger import rebuild
from crib.stock.book.settings import shop_rules
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.cli.asking import Window
from tests.shop import made_once


@pytest.fixture
def window(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.chdir(tmp_path)
    return Window(tmp_path / "shop.crib", capsys)


@pytest.fixture
def shop(window: Window) -> Window:
    """A crib with two seats and a kind, made and filled."""
    write_tables(window.path.with_name("tables"))
    north_bay(window.path).close()
    return window


def write_tables(folder: Path) -> None:
    """Two seats, a kind and a piece of it."""
    folder.mkdir()
    for name, text in (
        ("seats", "name;OD;die height\r\nA;2-1/8;1-1/8\r\nB;3;1.5\r\n"),
        ("kinds", "role;shape;dia;seat\r\ndie;round;27/32;A\r\n"),
        ("pieces", 'tag;kind\r\nD-1;"round die 27/32 in, seat A"\r\n'),
    ):
        (folder / f"{name}.csv").write_text(text)


@made_once
def north_bay(path: Path) -> Session:
    """The crib of a shop with those tables taken in."""
    tables = path.with_name("tables")
    write_tables(tables)
    making.new_crib(path, name="North bay")
    session = open_crib(path)
    take_in(session, tables, by="")
    return session


def test_a_new_crib_says_what_it_starts_with_and_what_to_type_next(window: Window) -> None:
    said = window.ask("new", "--name", "North bay")
    assert (said.status, said.err) == (0, "")
    assert "  crib.name = North bay" in said.lines
    assert "  crib.force_unit = US tons" in said.lines
    assert any(line.startswith("  crib import --template my_tables") for line in said.lines)
    session = open_crib(window.path)
    assert session.value("SELECT name FROM person") == "window"
    assert session.value("SELECT count(*) FROM entry WHERE action = 'rule'") == 4
    assert {row["why"] for row in session.rows("SELECT why FROM shop_rule")} == {
        "set when the crib was made"
    }
    session.close()


def test_a_metric_crib_starts_with_metric_rules(window: Window) -> None:
    said = window.ask("new", "--unit", "mm", "--currency", "eur", "--json")
    assert said.json["rules"] == {
        "crib.unit": "mm",
        "crib.name": "Tool crib",
        "crib.currency": "EUR",
        "crib.force_unit": "kN",
        "material.default": "S275",
        "clearance.policy": "tool_life",
        "wear.reference_thickness_mm": "10",
    }
    session = open_crib(window.path)
    assert shop_rules(session).text("material.default") == "S275"
    session.close()


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--unit", "cm"], "crib.unit=cm must be one of: in, mm"),
        (["--currency", "dollars"], "crib.currency=dollars must be three letters"),
        (["--force-unit", "tons"], "crib.force_unit=tons must be one of: US tons"),
        (["--name", "x" * 61], "must be 1 to 60 letters"),
    ],
)
def test_a_crib_that_cannot_be_is_not_made(window: Window, words: list[str], message: str) -> None:
    said = window.ask("new", *words)
    assert (said.status, said.out) == (2, "")
    assert message in said.err
    assert list(window.path.parent.iterdir()) == []


def test_a_crib_is_never_made_over_another_file(window: Window) -> None:
    window.path.write_text("mine")
    said = window.ask("new")
    assert (said.status, said.out) == (2, "")
    assert "is there already" in said.err
    assert window.path.read_text() == "mine"


def test_a_half_made_crib_is_taken_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_arguments: object) -> None:
        message = "no"
        raise BadValue(message)

    monkeypatch.setattr(making, "_set_rules", fail)
    with pytest.raises(BadValue, match="no"):
        making.new_crib(tmp_path / "deep" / "shop.crib")
    assert list((tmp_path / "deep").iterdir()) == []


def test_a_file_that_appears_meanwhile_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "shop.crib"
    monkeypatch.setattr(making, "_set_rules", lambda *_arguments: path.write_text("mine"))
    with pytest.raises(Refused, match="is there already"):
        making.new_crib(path)
    assert path.read_text() == "mine"
    assert list(tmp_path.iterdir()) == [path]


def test_an_import_lists_what_came_of_each_table(shop: Window) -> None:
    said = shop.ask("import", "tables")
    assert (said.status, said.err) == (0, "")
    rows = [line.split() for line in said.lines if line.startswith(("seats", "kinds", "pieces"))]
    assert rows == [
        ["seats", "0", "0", "2"],
        ["kinds", "0", "0", "1"],
        ["pieces", "0", "0", "1"],
    ]
    assert max(len(line) for line in said.lines) <= 80


def test_an_import_as_json(shop: Window) -> None:
    Path("people.csv").write_text("name\nbench 2\nEXAMPLE x\n")
    said = shop.ask("import", "people.csv", "--json")
    assert said.json == {
        "source": "people.csv",
        "dry_run": False,
        "tables": {"people": {"added": 1, "changed": 0, "already": 0}},
        "notes": ["people.csv: 1 example row left out"],
    }


def test_a_dry_run_takes_nothing(shop: Window) -> None:
    Path("people.csv").write_text("name\nbench 2\n")
    said = shop.ask("import", "people.csv", "--dry-run")
    assert said.lines[-1] == "dry run: nothing was taken; leave --dry-run out to take it"
    assert shop.ask("import", "people.csv", "--json").json["tables"]["people"]["added"] == 1


def test_faults_are_listed_and_nothing_is_taken(shop: Window) -> None:
    Path("places.csv").write_text("name,colour\nA1,\n")
    Path("kinds.csv").write_text("role;dia\npunch;20,6\n")
    said = shop.ask("import", "kinds.csv")
    assert (said.status, said.out) == (2, "")
    assert said.err.splitlines() == [
        "crib: kinds.csv has 1 fault; nothing of it was taken",
        "  kinds.csv line 2, size: length '20,6' cannot be read: a comma is not part of a number;"
        " write 20.6in or 20.6mm",
        "  -> put the rows right and take it in again",
    ]
    error = json.loads(shop.ask("import", "places.csv", "--json").err)["error"]
    assert (error["code"], error["faults"][0]["column"]) == ("bad-rows", "colour")


def test_a_changed_row_needs_the_flag(shop: Window) -> None:
    Path("seats.csv").write_text("name,note\nA,small\n")
    assert "nothing of it was taken" in shop.ask("import", "seats.csv").err
    said = shop.ask("import", "seats.csv", "--update", "--json")
    assert said.json["tables"]["seats"] == {"added": 0, "changed": 1, "already": 0}


@pytest.mark.parametrize("words", [[], ["tables", "--template", "x"]])
def test_an_import_needs_one_thing_to_do(shop: Window, words: list[str]) -> None:
    said = shop.ask("import", *words)
    assert (said.status, said.out) == (2, "")
    assert "say what to take in" in said.err


def test_a_template_says_what_to_do_with_it(shop: Window) -> None:
    said = shop.ask("import", "--template", "mine")
    assert (said.status, said.err) == (0, "")
    assert said.lines[0] == "20 files in mine"
    assert said.lines[-1] == f"  crib import mine --crib {shop.path}"
    again = shop.ask("import", "mine")
    assert again.status == 2
    assert "47 rows are examples" in again.err


@pytest.mark.parametrize("target", ["out", "out.xlsx"])
def test_an_export_goes_back_in_as_it_was(shop: Window, target: str) -> None:
    said = shop.ask("export", target)
    assert (said.status, said.err) == (0, "")
    assert f"  crib import {target} --crib COPY.crib" in said.lines
    assert max(len(line) for line in said.lines) <= 80
    shop.path = shop.path.with_name("copy.crib")
    shop.ask("new")
    assert shop.ask("import", target).status == 0
    copy = open_crib(shop.path)
    assert shop_rules(copy).text("crib.name") == "North bay"
    assert rebuild(copy) == []
    copy.close()


def test_an_export_as_json(shop: Window) -> None:
    said = shop.ask("export", "out", "--xlsx", "--json")
    assert said.json["target"] == "out.xlsx"
    assert (said.json["tables"]["seats"], said.json["tables"]["entries"]) == (2, 5)


def test_an_export_writes_over_nothing(shop: Window) -> None:
    shop.ask("export", "out")
    said = shop.ask("export", "out")
    assert (said.status, said.out) == (2, "")
    assert "is there already" in said.err


def test_no_crib_is_a_fault_of_its_own(window: Window) -> None:
    said = window.ask("export", "out")
    assert (said.status, said.out) == (1, "")
    assert "there is no crib at" in said.err
    assert not Path("out").exists()
