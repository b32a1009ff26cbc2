"""A request asks few statements, and no more of a crib with more kinds, pieces, wants and jobs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import timedelta
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from sqlmodel import SQLModel

from crib.desk.answer.find import find
from crib.desk.buying.buy import plan_buying
from crib.desk.edges.due import DueRequest, list_due
from crib.desk.plan.make_plan import PlanRequest, make_plan
from crib.desk.strokes.log import LogOptions, log_words
from crib.stock.engine.session import Session
from tests.demo_crib import NOW, demo_crib
from tests.shop import made_once
from tests.stock.counted import statements

Ask = Callable[[Session], Any]
TIMES = 4
_hours = count(1)


def _find(phrase: str) -> Ask:
    return lambda session: find(session, phrase, record=False, now=NOW)


def _log(*tags: str) -> Ask:
    words = [word for tag in tags for word in (tag, "33")]
    # A new hour for each shift, since the same count twice within minutes is asked back.
    return lambda session: log_words(
        session, words, LogOptions(), NOW + timedelta(hours=next(_hours))
    )


ASKS: dict[str, tuple[Ask, int]] = {
    "find": (_find("hole 13/16 thru 3/8 A36"), 12),
    "find in several hits": (_find("slot 13/16 x 3 thru 3/8 A36"), 30),
    "find nothing": (_find("slot 13/16 x 2-1/8 thru 3/8 A36"), 40),
    "log": (_log("P-0137"), 17),
    "log three": (_log("P-0137", "P-0138", "D-0202"), 17),
    "due": (lambda session: list_due(session, DueRequest()), 4),
    "plan": (lambda session: make_plan(session, PlanRequest(), NOW), 60),
    "buy": (lambda session: plan_buying(session, now=NOW), 100),
}


@made_once
def multiplied(path: Path) -> Session:
    """The demo with every kind, piece, want and job some times over."""
    session = demo_crib(path)
    with session.writing():
        for copy in range(1, TIMES):
            _copy_shelf(session, copy)
            _copy_asks(session, copy)
    return session


def _copy_shelf(session: Session, copy: int) -> None:
    """Kinds under other names, their pieces under other tags and in drawers, with their entries."""
    again, drawer = f" no {copy}", "(SELECT min(id) FROM place WHERE sort = 'drawer')"
    not_copied = "FROM kind WHERE name NOT LIKE '% no _'"
    _insert(session, "kind", {"name": f"name || '{again}'"}, not_copied)
    mounted = f"CASE WHEN place.station_id IS NULL THEN piece.place_id ELSE {drawer} END"
    _insert(
        session,
        "piece",
        {"tag": f"'C{copy}-' || piece.tag", "kind_id": "twin.id", "place_id": mounted},
        "FROM piece JOIN kind ON kind.id = piece.kind_id"
        " LEFT JOIN place ON place.id = piece.place_id"
        f" JOIN kind AS twin ON twin.name = kind.name || '{again}'"
        " WHERE piece.tag NOT LIKE 'C_-%'",
    )
    _insert(
        session,
        "entry",
        {"piece_id": "twin.id", "act": f"entry.act || '{copy}'"},
        "FROM entry JOIN piece ON piece.id = entry.piece_id"
        f" JOIN piece AS twin ON twin.tag = 'C{copy}-' || piece.tag"
        " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE counter.id IS NULL AND entry.action <> 'reverse'",
    )


def _copy_asks(session: Session, copy: int) -> None:
    """Wants and jobs under other names; each job's features a little larger, so that all differ."""
    again = f" no {copy}"
    _insert(session, "want", {"job": f"job || '{again}'"}, "FROM want WHERE job NOT LIKE '% no _'")
    _insert(session, "job", {"name": f"name || '{again}'"}, "FROM job WHERE name NOT LIKE '% no _'")
    _insert(
        session,
        "job_line",
        {"job_id": "twin.id", "phrase": f"replace(phrase, ' thru ', '.0{copy} thru ')"},
        "FROM job_line JOIN job ON job.id = job_line.job_id"
        f" JOIN job AS twin ON twin.name = job.name || '{again}'"
        " WHERE phrase LIKE 'hole _ thru %'",
    )


def _insert(session: Session, table: str, changed: dict[str, str], source: str) -> None:
    """Rows of a table once more, with some columns changed."""
    columns = [c.name for c in SQLModel.metadata.tables[table].columns if c.name != "id"]
    values = [changed.get(name, f"{table}.{name}") for name in columns]
    session.run(f"INSERT INTO {table} ({', '.join(columns)}) SELECT {', '.join(values)} {source}")


@pytest.fixture(scope="module")
def cribs(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Session, Session]]:
    """The demo, and the demo multiplied."""
    folder = tmp_path_factory.mktemp("few")
    with (
        closing(demo_crib(folder / "demo.crib")) as demo,
        closing(multiplied(folder / "more.crib")) as more,
    ):
        yield demo, more


@pytest.mark.parametrize("name", ASKS)
def test_a_request_asks_few_statements_whatever_the_crib_holds(
    cribs: tuple[Session, Session], name: str
) -> None:
    ask, most = ASKS[name]
    few, of_more = (statements(crib, ask) for crib in cribs)
    assert 0 < len(few) <= most
    assert len(of_more) <= len(few)


@pytest.mark.parametrize("name", ["find", "log three", "plan", "buy"])
def test_a_request_reads_the_rules_once(cribs: tuple[Session, Session], name: str) -> None:
    asked = statements(cribs[0], ASKS[name][0])
    assert len([sql for sql in asked if "FROM shop_rule" in sql]) == 1


def test_the_demo_is_multiplied_in_what_is_counted(cribs: tuple[Session, Session]) -> None:
    for table in ("kind", "piece", "want", "job"):
        demo, more = (crib.value(f"SELECT count(*) FROM {table}") for crib in cribs)
        assert more == TIMES * demo, table
