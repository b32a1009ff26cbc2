"""Making an empty crib: its tables, the window, and the rules that it starts with."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from crib.acts import act, saying
from crib.errors import Refused
from crib.files.common.whole_file import put_in_place
from crib.stock.book.people import WINDOW, add_person, person_id
from crib.stock.engine.opening import open_crib, server_engine
from crib.stock.engine.place import Place, ServerPlace
from crib.stock.engine.session import Session
from crib.trade.shop.shop_rules import check_rule

_WHY = "set when the crib was made"
_METRIC = {
    "material.default": "S275",
    "clearance.policy": "tool_life",
    "wear.reference_thickness_mm": "10",
}


@dataclass(frozen=True, slots=True)
class NewCrib:
    """The crib that was made, with the rules that were set in it."""

    path: str
    rules: dict[str, str]


def new_crib(
    path: Place,
    *,
    unit: str = "in",
    name: str = "",
    currency: str = "USD",
    force_unit: str = "",
    now: datetime | None = None,
) -> NewCrib:
    """Make an empty crib; what was begun is taken away again when it fails.

    Raises:
        Refused: when there is a file already.
        BadValue: for a unit, a currency or a name that cannot stand.
    """
    rules = _first_rules(unit, name, currency, force_unit)
    if isinstance(path, ServerPlace):
        _make_on_server(path, rules, now)
        return NewCrib(str(path), rules)
    _require_free(path)
    begun = path.with_name(f"{path.name}.{os.getpid()}.begun")
    try:
        _make(begun, rules, now)
        _require_free(path)
        put_in_place(begun, path)
    finally:
        for end in ("", "-wal", "-shm"):
            begun.with_name(begun.name + end).unlink(missing_ok=True)
    return NewCrib(str(path), rules)


def _require_free(path: Path) -> None:
    if path.exists():
        message = f"{path} is there already"
        way_out = saying("choose another file with ", act("say.crib"), "; nothing was changed")
        raise Refused(message, way_out=way_out)


def _first_rules(unit: str, name: str, currency: str, force_unit: str) -> dict[str, str]:
    system = check_rule("crib.unit", unit)
    wanted = {
        "crib.unit": system,
        "crib.name": name or "Tool crib",
        "crib.currency": currency,
        "crib.force_unit": force_unit or ("US tons" if system == "in" else "kN"),
        **(_METRIC if system == "mm" else {}),
    }
    return {key: check_rule(key, value) for key, value in wanted.items()}


def _make_on_server(place: ServerPlace, rules: dict[str, str], now: datetime | None) -> None:
    """The tables in one transaction, then what every crib begins with in another."""
    from crib.stock.engine.tables_postgres import create_server_tables

    server_engine()
    create_server_tables(place)
    session = open_crib(place)
    try:
        _begin(session, rules, now)
    finally:
        session.close()


def _begin(session: Session, rules: dict[str, str], now: datetime | None) -> None:
    with session.writing():
        add_person(session, WINDOW)
        _set_rules(session, rules, now)


def _make(path: Path, rules: dict[str, str], now: datetime | None) -> None:
    from crib.stock.engine.migrate import create_tables

    create_tables(path)
    session = open_crib(path)
    try:
        _begin(session, rules, now)
    finally:
        session.close()


def _set_rules(session: Session, rules: dict[str, str], now: datetime | None) -> None:
    from crib.stock.book.ledger import new_stamp
    from crib.stock.book.settings import set_rule

    stamp = new_stamp(person_id(session, ""), now=now)
    for key, value in rules.items():
        set_rule(session, stamp, key, value, _WHY)
