"""A crib copied into a file or a server holds every row, and half a copy is never there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from crib.errors import CribDamaged, Refused
from crib.stock.engine import whole_copy
from crib.stock.engine.into_file import copy_into_file
from crib.stock.engine.into_server import copy_into_server, copy_over_server
from crib.stock.engine.opening import open_crib
from crib.stock.engine.place import ServerPlace
from crib.stock.engine.revision import HEAD_REVISION
from crib.stock.engine.session import Session
from crib.stock.engine.whole_copy import Summing, layout_of, proof_of
from crib.stock.queries.whole_crib import note_rows, rows_since_noted
from crib.stock.tables.row_check import declared_tables
from tests.schema.cribs import filled, holdings
from tests.stock.engine.server import TestServer


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A crib with rows in every table."""
    made = filled(tmp_path_factory.mktemp("whole") / "shop.crib", HEAD_REVISION)
    with closing(open_crib(made)) as session:
        note_rows(session)
    return made


@pytest.fixture
def shop(path: Path) -> Iterator[Session]:
    with closing(open_crib(path)) as session:
        yield session


@pytest.fixture(scope="module")
def copied(server: TestServer, path: Path) -> ServerPlace:
    place = server.new_database()
    with closing(open_crib(path)) as session:
        copy_into_server(session, place)
    return place


def tables_on(server: TestServer, place: ServerPlace) -> int:
    with server.asked(place) as ask:
        return len(ask("SELECT tablename FROM pg_tables WHERE schemaname = 'public'"))


def test_there_and_back_every_row_is_the_same(
    copied: ServerPlace, path: Path, tmp_path: Path
) -> None:
    with closing(open_crib(copied)) as session:
        copy_into_file(session, tmp_path / "back.crib")
        assert rows_since_noted(session) == 0
        assert layout_of(session).keys() == set(declared_tables())
    assert holdings(tmp_path / "back.crib") == holdings(path)


def test_numbers_go_on_behind_those_of_the_rows(copied: ServerPlace, server: TestServer) -> None:
    with closing(open_crib(server.new_database(copied))) as session:
        last = session.value("SELECT max(id) FROM person")
        with session.writing():
            assert session.insert("person", {"name": "newcomer"}) == last + 1


@pytest.mark.parametrize("is_over", [False, True], ids=["into", "over"])
def test_the_server_knows_at_once_what_the_tables_hold(
    copied: ServerPlace, server: TestServer, shop: Session, is_over: bool
) -> None:
    place = server.new_database(copied if is_over else None)
    if is_over:
        server.run("DELETE FROM pg_statistic", place.name)
    (copy_over_server if is_over else copy_into_server)(shop, place)
    known = "SELECT DISTINCT tablename FROM pg_stats WHERE schemaname = 'public'"
    with server.asked(place) as ask:
        assert {name for (name,) in ask(known)} >= set(declared_tables())


def test_a_copy_over_a_crib_leaves_the_rights_on_its_tables(
    copied: ServerPlace, server: TestServer, shop: Session
) -> None:
    place = server.new_database(copied)
    server.run("DELETE FROM hold; GRANT SELECT ON piece TO PUBLIC", place.name)
    source = copy_over_server(shop, place)
    assert source["hold"].rows == 1
    with server.asked(place) as ask:
        assert ask("SELECT count(*) FROM hold") == [(1,)]
        assert ask("SELECT has_table_privilege('pg_monitor', 'piece', 'SELECT')") == [(True,)]


def test_a_copy_goes_only_where_nothing_is(
    copied: ServerPlace, server: TestServer, shop: Session
) -> None:
    with pytest.raises(Refused, match="holds tables already"):
        copy_into_server(shop, copied)
    other = server.new_database()
    server.run("CREATE TABLE theirs (id integer)", other.name)
    for copy in (copy_into_server, copy_over_server):
        with pytest.raises((Refused, CribDamaged)):
            copy(shop, other)
    assert tables_on(server, other) == 1


@pytest.mark.parametrize("table", ["person", "paper_line_piece"])
def test_a_copy_that_breaks_off_is_not_there(
    table: str, server: TestServer, shop: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read = whole_copy.rows_of

    def breaking(session: Session, name: str, columns: Sequence[str]) -> Iterator[Sequence[Any]]:
        for row in read(session, name, columns):
            if name == table:
                raise KeyboardInterrupt
            yield row

    for module in ("into_server", "into_file"):
        monkeypatch.setattr(f"crib.stock.engine.{module}.rows_of", breaking)
    place = server.new_database()
    with pytest.raises(KeyboardInterrupt):
        copy_into_server(shop, place)
    with pytest.raises(KeyboardInterrupt):
        copy_into_file(shop, tmp_path / "copy.crib")
    assert tables_on(server, place) == 0
    assert [*tmp_path.iterdir()] == []


def test_a_row_that_differs_is_told_and_nothing_stays(
    server: TestServer, shop: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is sent is not what was read: one character of one name."""
    send = Summing.through

    def changing(self: Summing, rows: Any) -> Iterator[tuple[Any, ...]]:
        for row in send(self, rows):
            yield tuple("night" if value == "nights" else value for value in row)

    monkeypatch.setattr(Summing, "through", changing)
    place = server.new_database()
    with pytest.raises(CribDamaged, match="the copy of person differs: 3 rows"):
        copy_into_server(shop, place)
    assert tables_on(server, place) == 0


def test_a_sum_tells_every_change_of_a_row() -> None:
    """Whichever value is another, or in another place, and in whichever row, the sum is another."""
    rows: list[tuple[Any, ...]] = [(1, "a", None, 0.5), (2, "", "b", -1.0)]
    every: list[list[tuple[Any, ...]]] = [
        rows,
        rows[::-1],
        rows[:1],
        [(1, None, "a", 0.5), rows[1]],
        [(1, "a", None, 0.25), rows[1]],
        [(1, "a", "", 0.5), rows[1]],
        [rows[0], (2, "", "b", -1)],
        [rows[0], rows[1], rows[1]],
    ]
    assert len({_sum(one) for one in every}) == len(every)
    assert _sum([(True, False, -0.0)]) == _sum([(1, 0, 0.0)])


def _sum(rows: Sequence[tuple[Any, ...]]) -> object:
    return proof_of(lambda _table, _columns: rows, {"piece": ["id"]})["piece"]


def test_a_value_that_no_server_takes_is_told_with_its_table(
    server: TestServer, path: Path, tmp_path: Path
) -> None:
    with closing(open_crib(path)) as session:
        copy_into_file(session, tmp_path / "bad.crib")
    with closing(open_crib(tmp_path / "bad.crib")) as session:
        with session.writing():
            session.run("UPDATE person SET role = ?", ("a\0b",))
        with pytest.raises(CribDamaged, match="a row of person cannot stand on a server"):
            copy_into_server(session, server.new_database())
