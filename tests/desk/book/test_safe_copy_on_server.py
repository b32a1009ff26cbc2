"""A safe copy of a crib on a server is a crib in a file, and comes back into either."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from crib.acts import yes_to
from crib.desk.book.check import check_crib, mend_crib
from crib.desk.book.new_crib import new_crib
from crib.desk.book.safe_copy import back_up, restore
from crib.errors import AskBack, CribBusy, Refused
from crib.stock.book.people import add_person, person_names
from crib.stock.engine import engine_postgres
from crib.stock.engine.folders import home_folder
from crib.stock.engine.into_server import copy_into_server
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from tests.demo_crib import demo_crib
from tests.stock.engine.server import TestServer

NOW = datetime(2027, 3, 10, 12, 0, tzinfo=UTC)
YES = yes_to("replace-crib")


@pytest.fixture(scope="module")
def pattern(server: TestServer, tmp_path_factory: pytest.TempPathFactory) -> ServerPlace:
    """The demo crib on the server."""
    place = server.new_database()
    with closing(demo_crib(tmp_path_factory.mktemp("demo") / "demo.crib")) as session:
        copy_into_server(session, place)
    return place


@pytest.fixture
def place(server: TestServer, pattern: ServerPlace) -> ServerPlace:
    return server.new_database(pattern)


def people(place: ServerPlace | Path) -> list[str]:
    with closing(open_crib(place)) as session:
        return person_names(session)


def add(place: ServerPlace, name: str) -> None:
    with closing(open_crib(place)) as session, session.writing():
        add_person(session, name)


def test_a_copy_of_it_opens_by_itself_and_comes_back(
    place: ServerPlace, server: TestServer, tmp_path: Path
) -> None:
    before = people(place)
    copy = back_up(place, now=NOW)
    assert copy.path.parent == home_folder()
    assert copy.path.name.startswith(f"127.0.0.1-{server.port}-{place.name}.backup-2027")
    assert people(copy.path) == before
    add(place, "later")
    with pytest.raises(AskBack, match=r"would take the place of postgresql://.* entries\)$"):
        restore(place, copy.path)
    restored = restore(place, copy.path, confirmed=YES, now=NOW)
    assert people(place) == before
    assert restored.entries == copy.entries
    assert restored.set_aside is not None
    assert "later" in people(restored.set_aside)
    empty = server.new_database()
    assert restore(empty, copy.path, confirmed=YES).set_aside is None
    restore(tmp_path / "file.crib", copy.path, confirmed=YES)
    assert people(empty) == people(tmp_path / "file.crib") == before
    for back in (place, empty, tmp_path / "file.crib"):
        with closing(open_crib(back)) as session:
            assert check_crib(session, now=NOW).sound


def test_nothing_is_put_over_tables_that_are_no_crib(server: TestServer, tmp_path: Path) -> None:
    other, mine = server.new_database(), tmp_path / "mine.crib"
    server.run("CREATE TABLE theirs (id integer)", other.name)
    new_crib(mine)
    with pytest.raises(Exception, match="is not a crib"):
        restore(other, mine, confirmed=YES)
    with pytest.raises(Refused, match="is there already"):
        back_up(other, mine)


def test_a_crib_that_is_being_read_is_not_replaced_under_its_reader(
    place: ServerPlace, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine_postgres, "_LOCK_WAIT", "200ms")
    copy = back_up(place)
    with closing(open_crib(place)) as reader, reader.one_moment():
        before = person_names(reader)
        with pytest.raises(CribBusy):
            restore(place, copy.path, confirmed=YES)
        assert person_names(reader) == before


def test_totals_are_mended_after_a_safe_copy(place: ServerPlace, server: TestServer) -> None:
    server.run("UPDATE piece SET wear_milli = wear_milli + 7 WHERE tag = 'P-0139'", place.name)
    with closing(open_crib(place)) as session:
        assert not check_crib(session, now=NOW).sound
        report = mend_crib(session, now=NOW)
    assert (report.sound, report.mended) == (True, 1)
    assert Path(report.copy).is_file()
