"""A small company for tests: three sites, of which the first has the small shop."""

from __future__ import annotations

from pathlib import Path

from crib.stock.book.sites import add_site, set_days, site_called, stand_at
from crib.stock.engine.session import Session
from crib.stock.queries.places import make_drawer
from crib.units import N_PER_US_TON
from tests.shop import add_kind, add_piece, add_station, made_once, small_shop


def small_company(path: Path) -> Session:
    """North with the small shop; South with a machine, a punch and a die; East with a drawer only.

    North and South are two days apart, East one from either. It is asked from North.
    """
    session = _made(path)
    stand_at(session, 1)
    return session


@made_once
def _made(path: Path) -> Session:
    session = small_shop(path)
    with session.writing():
        for name in ("North", "South", "East"):
            add_site(session, name, "")
        set_days(session, site_called(session, "North"), site_called(session, "South"), 2)
        for number, name in ((2, "S1"), (2, "S2"), (3, "E1")):
            stand_at(session, number)
            make_drawer(session, name)
    seat = session.value("SELECT id FROM seat WHERE name = 'A'")
    add_station(session, "Ironworker S", "punch", 50 * N_PER_US_TON, [seat])
    with session.writing():
        session.run("UPDATE machine SET site_id = 2 WHERE name = 'Ironworker S'")
        session.run("UPDATE place SET site_id = 2 WHERE name LIKE 'Ironworker S%'")
    kind = session.value("SELECT kind_id FROM piece WHERE tag = 'P-0140'")
    add_piece(session, "P-0501", kind, place="S1")
    add_piece(
        session, "D-0501", add_kind(session, role="die", width="15/16", seat_id=seat), place="S1"
    )
    return session
