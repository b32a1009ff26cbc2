"""The people of the crib: badge names, no passwords."""

from __future__ import annotations

from crib.acts import act, saying
from crib.errors import UnknownName
from crib.stock.engine.session import Session

WINDOW = "window"
"""Who acts when nobody says a name; made with every crib."""


def person_id(session: Session, name: str) -> int:
    """The number of a badge name; empty means the window.

    Raises:
        UnknownName: when nobody has that name.
    """
    wanted = name.strip() or WINDOW
    found = session.value("SELECT id FROM person WHERE lower(name) = lower(?)", (wanted,))
    if found is None:
        known = ", ".join(person_names(session))
        message = f"nobody is called {wanted!r}; known: {known}"
        way_out = saying("add the name with ", act("import", file="people.csv"))
        raise UnknownName(message, way_out=way_out)
    return int(found)


def person_names(session: Session) -> list[str]:
    """Every badge name."""
    return [row[0] for row in session.rows("SELECT name FROM person ORDER BY name")]


def person_name(session: Session, person_id: int) -> str:
    """The badge name of a person."""
    return str(session.value("SELECT name FROM person WHERE id = ?", (person_id,)))


def add_person(session: Session, name: str) -> int:
    """Make a badge name known; returns the person's number."""
    return session.insert("person", {"name": name, "role": ""})
