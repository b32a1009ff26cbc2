"""Another crib in the place of the one that the page opened: restored, upgraded, or gone."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from crib.acts import yes_to
from crib.desk.book.safe_copy import back_up, restore
from crib.desk.tables.by_name import keep_person
from crib.stock.engine.migrate import alembic_config
from crib.stock.engine.opening import open_crib
from crib.stock.engine.revision import HEAD_REVISION
from tests.page.conftest import opened_page

YES = yes_to("replace-crib")


def names_shown(page: TestClient) -> str:
    """The page of name tiles, as a browser gets it."""
    shown = page.get("/who")
    assert shown.status_code == 200, shown.text
    return shown.text


def add_name(crib: Path, name: str) -> None:
    """Another program makes a name known."""
    with closing(open_crib(crib)) as session:
        keep_person(session, {"name": name, "role": ""}, by="")


def touch(page: TestClient, name: str) -> int:
    """Touch a name, which the writing thread looks up."""
    return page.post("/who", data={"person": name}).status_code


def test_what_another_program_wrote_is_shown_at_once(page: TestClient, crib: Path) -> None:
    assert "new hand" not in names_shown(page)
    add_name(crib, "new hand")
    assert "new hand" in names_shown(page)


def test_a_crib_restored_under_the_page_is_the_one_it_shows(page: TestClient, crib: Path) -> None:
    copy = back_up(crib).path
    add_name(crib, "later hand")
    assert "later hand" in names_shown(page)
    assert touch(page, "later hand") == 303
    assert touch(page, "bench 2") == 303
    restore(crib, copy, confirmed=YES)
    assert "later hand" not in names_shown(page)
    assert touch(page, "later hand") == 404
    assert touch(page, "bench 2") == 303


def test_a_crib_put_in_its_place_is_opened_anew(
    page: TestClient, crib: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other.crib"
    back_up(crib, other)
    add_name(other, "other hand")
    assert "other hand" not in names_shown(page)
    assert touch(page, "bench 2") == 303
    other.replace(crib)
    for companion in ("-wal", "-shm"):
        crib.with_name(crib.name + companion).unlink(missing_ok=True)
    assert "other hand" in names_shown(page)
    assert touch(page, "other hand") == 303


def test_an_older_copy_restored_under_the_page_is_upgraded(
    page: TestClient, crib: Path, tmp_path: Path
) -> None:
    from alembic import command

    older = tmp_path / "older.crib"
    back_up(crib, older)
    command.downgrade(alembic_config(older), "0004")
    names_shown(page)
    assert touch(page, "bench 2") == 303
    restore(crib, older, confirmed=YES)
    assert "bench 2" in names_shown(page)
    assert touch(page, "nights") == 303


@pytest.mark.parametrize("accept", ["text/html", "application/json"])
def test_a_crib_that_a_newer_program_upgraded_is_told_and_not_touched(
    page: TestClient, crib: Path, accept: str
) -> None:
    names_shown(page)
    touch(page, "bench 2")
    with closing(sqlite3.connect(crib)) as newer, newer:
        newer.execute("UPDATE alembic_version SET version_num = '9999'")
    for answer in (
        page.get("/who", headers={"accept": accept}),
        page.post("/who", data={"person": "nights"}, headers={"accept": accept}),
    ):
        assert answer.status_code == 503
        assert "9999" in answer.text
        assert "Traceback" not in answer.text
    with closing(sqlite3.connect(crib)) as back, back:
        back.execute("UPDATE alembic_version SET version_num = ?", (HEAD_REVISION,))
    assert "bench 2" in names_shown(page)


def test_a_crib_that_is_gone_is_told_and_found_again(page: TestClient, crib: Path) -> None:
    names_shown(page)
    aside = crib.with_name("aside")
    back_up(crib, aside)
    crib.unlink()
    assert page.get("/who").status_code == 503
    assert touch(page, "bench 2") == 503
    assert not crib.exists()
    for companion in ("-wal", "-shm"):
        crib.with_name(crib.name + companion).unlink(missing_ok=True)
    aside.replace(crib)
    assert "bench 2" in names_shown(page)


def test_a_page_without_a_crib_says_so(tmp_path: Path) -> None:
    with opened_page(tmp_path / "none.crib") as page:
        assert page.get("/").status_code == 503
        assert page.get("/static/page.css").status_code == 200
