"""The people of the crib: badge names, no passwords."""

from __future__ import annotations

from crib.acts import act, saying
from crib.stock.book.names import name_meant
from crib.stock.engine.session import Session

WINDOW = "window"
"""Who acts when nobody says a name; made with every crib."""


def person_id(session: Session, name: str) -> int:
    """The number of a badge name, as ``name_meant`` reads it; empty means the window.

    Raises:
        UnknownName: when nobody has that name, or more than one.
    """
    wanted = name.strip() or WINDOW
    sql = "SELECT id FROM person WHERE name = ?"
    exact = session.value(sql, (wanted,))
    return int(exact or session.value(sql, (person_called(session, wanted),)))


def person_called(session: Session, name: str) -> str:
    """The badge name that is meant.

    Raises:
        UnknownName: when nobody has that name, or more than one.
    """
    way_out = saying("add the name with ", act("person", person=None))
    return name_meant(name, person_names(session), "nobody is called", way_out)


def person_names(session: Session) -> list[str]:
    """Every badge name."""
    return [row[0] for row in session.rows("SELECT name FROM person ORDER BY name")]


def person_name(session: Session, person_id: int) -> str:
    """The badge name of a person."""
    return str(session.value("SELECT name FROM person WHERE id = ?", (person_id,)))


def add_person(session: Session, name: str) -> int:
    """Make a badge name known; returns the person's number."""
    return session.insert("person", {"name": name, "role": ""})
