"""A whole crib moves to a server and back, equal to the last row, and only one of them goes on."""

from __future__ import annotations

import shutil
from contextlib import closing
from pathlib import Path

import pytest

from crib.acts import yes_to
from crib.desk.book.check import check_crib
from crib.desk.book.rehouse import rehouse, take_back
from crib.desk.book.safe_copy import back_up, restore
from crib.errors import AskBack, CribBusy, CribMoved, DiskFault, Refused
from crib.stock.book.people import add_person, person_names
from crib.stock.engine.into_server import copy_over_server
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import Place
from crib.stock.engine.revision import HEAD_REVISION
from crib.stock.engine.session import Session
from crib.stock.tables.row_check import declared_tables
from tests.demo_crib import NOW, demo_crib
from tests.schema.cribs import filled, holdings
from tests.stock.engine.server import TestServer

YES = yes_to("goes-on-elsewhere")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A crib with rows in every table."""
    return filled(tmp_path / "shop.crib", HEAD_REVISION)


def add(place: Place, name: str) -> None:
    with closing(open_crib(place)) as session, session.writing():
        add_person(session, name)


def people(place: Place) -> list[str]:
    with closing(open_crib(place)) as session:
        return person_names(session)


@pytest.mark.parametrize("metric", [False, True])
def test_a_demo_crib_goes_there_and_back(metric: bool, server: TestServer, tmp_path: Path) -> None:
    demo_crib(tmp_path / "demo.crib", metric=metric).close()
    before, place = holdings(tmp_path / "demo.crib"), server.new_database()
    there = rehouse(tmp_path / "demo.crib", place, now=NOW)
    with closing(open_crib(place)) as session:
        assert check_crib(session, now=NOW).sound
    back = rehouse(place, tmp_path / "back.crib", now=NOW)
    assert (there.tables, there.rows) == (len(declared_tables()), sum(map(len, before.values())))
    assert (back.rows, back.pieces, back.entries) == (there.rows, there.pieces, there.entries)
    assert holdings(tmp_path / "back.crib") == before


def test_the_old_one_is_only_read_and_says_where_it_went(
    path: Path, server: TestServer, tmp_path: Path
) -> None:
    place, waiting = server.new_database(), open_crib(path)
    rehouse(path, place, by="nights", now=NOW)
    _refuses_writes(path, waiting, rf"moved to {place} on 2027-03-09 and is only read here")
    waiting = open_crib(place)
    rehouse(place, tmp_path / "new.crib", now=NOW)
    _refuses_writes(place, waiting, r"moved to /.*new.crib on 2027-03-09 and is only read here")
    add(tmp_path / "new.crib", "bench 2")
    with closing(open_crib(path)) as session:
        assert check_crib(session, now=NOW).checks[2].ok


def _refuses_writes(place: Place, opened_before: Session, why: str) -> None:
    """Whoever opens it now, and whoever had it open, reads but cannot write."""
    assert "nights" in people(place)
    with pytest.raises(CribMoved, match=why):
        add(place, "late")
    for table in declared_tables():
        with pytest.raises(CribMoved, match=why), opened_before.writing():
            opened_before.run(f"DELETE FROM {table}")
    opened_before.close()


def test_a_crib_that_moved_comes_back_into_use_when_somebody_says_so(
    path: Path, server: TestServer, tmp_path: Path
) -> None:
    place = server.new_database()
    with pytest.raises(Refused, match="did not move anywhere"):
        take_back(path)
    before = holdings(path)
    rehouse(path, place, by="nights")
    rehouse(place, tmp_path / "new.crib")
    for moved in (path, place):
        with pytest.raises(AskBack, match=r"moved to .*: what was written there since is not here"):
            take_back(moved)
        take_back(moved, confirmed=YES)
    assert holdings(path) == before
    add(path, "bench 2")
    add(place, "bench 2")


def test_on_its_way_back_the_file_that_it_left_is_set_aside(
    path: Path, server: TestServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = server.new_database()
    rehouse(path, place)
    add(place, "bench 2")
    with closing(open_crib(path)) as reader:
        assert person_names(reader)
        with pytest.raises(CribBusy, match="somebody has"):
            rehouse(place, path)
    with monkeypatch.context() as patched:
        patched.setattr("crib.desk.book.rehouse._copied", _no_room)
        with pytest.raises(DiskFault, match="no room"):
            rehouse(place, path)
    with pytest.raises(CribMoved, match=r"shop\.crib moved to"):
        add(path, "late")
    back = rehouse(place, path)
    assert not back.was_there
    assert "bench 2" not in people(Path(back.set_aside))
    add(path, "bench 3")
    with pytest.raises(CribMoved):
        add(place, "late")
    with pytest.raises(Refused, match="holds another crib already"):
        rehouse(path, place)


def _no_room(*_words: object) -> None:
    message = "no room"
    raise DiskFault(message)


def test_what_is_there_already_is_not_touched(path: Path, server: TestServer) -> None:
    place = server.new_database()
    rehouse(path, place)
    take_back(path, confirmed=YES)
    add(path, "bench 2")
    with pytest.raises(Refused, match="holds another crib already"):
        rehouse(path, place)
    for target in (path, path.with_name("other.txt")):
        path.with_name("other.txt").write_text("mine")
        with pytest.raises(Exception, match=r"is where the crib is|is not a crib"):
            rehouse(path, target)
    assert path.with_name("other.txt").read_text() == "mine"
    assert "bench 2" not in people(place)
    add(path, "still in use")


def test_a_move_that_broke_off_before_the_mark_is_finished(
    path: Path, server: TestServer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def killed(*_words: object) -> None:
        raise KeyboardInterrupt

    for source, target in (
        (path, server.new_database()),
        (Path(shutil.copy(path, tmp_path / "second.crib")), tmp_path / "file.crib"),
    ):
        with monkeypatch.context() as patched:
            patched.setattr("crib.desk.book.rehouse.mark_moved", killed)
            with pytest.raises(KeyboardInterrupt):
                rehouse(source, target)
        add_and_take_out(source)
        assert rehouse(source, target).was_there
        with pytest.raises(CribMoved):
            add(source, "late")


def add_and_take_out(place: Place) -> None:
    """The old crib is in use as long as it has no mark."""
    add(place, "for a moment")
    with closing(open_crib(place)) as session, session.writing():
        session.run("DELETE FROM person WHERE name = 'for a moment'")


def test_a_server_that_goes_away_meanwhile_leaves_the_old_crib_in_use(
    path: Path, server: TestServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    from crib.stock.engine import into_server

    place = server.new_database()
    copied = into_server._copied

    def cut(*words: object) -> object:
        if words[2] == "piece":
            server.run(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                f" WHERE datname = '{place.name}'"
            )
        return copied(*words)  # type: ignore[arg-type]

    monkeypatch.setattr(into_server, "_copied", cut)
    with pytest.raises(DiskFault, match="server is away"):
        rehouse(path, place)
    monkeypatch.undo()
    add(path, "still in use")
    assert not rehouse(path, place).was_there


def test_a_safe_copy_of_a_crib_on_a_server_that_moved_is_in_use(
    path: Path, server: TestServer, tmp_path: Path
) -> None:
    place = server.new_database()
    rehouse(path, place)
    rehouse(place, tmp_path / "new.crib")
    copy = back_up(place, tmp_path / "copy.crib").path
    add(copy, "bench 2")
    for moved in (path, place):
        with pytest.raises(CribMoved, match="is only read here"):
            restore(moved, copy, confirmed=yes_to("replace-crib"))
    with closing(open_crib(copy)) as session, pytest.raises(Refused, match="revision"):
        copy_over_server(session, place)
    restored = restore(tmp_path / "third.crib", copy, confirmed=yes_to("replace-crib"))
    assert "bench 2" in people(restored.path)
