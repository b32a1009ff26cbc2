"""The mark of a crib that moved elsewhere: from then on it is only read, by every program.

The note of where it went stands in a table that only such a crib has. Triggers refuse every write,
also of whoever opened the crib before, and the word behind the revision keeps older programs out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from crib.acts import act, saying
from crib.errors import CribMoved
from crib.stock.engine.place import Place, ServerPlace

MOVED_TABLE = "moved_to"
MOVED_WORD = "moved"
_MOMENTS = ("INSERT", "UPDATE", "DELETE")


@dataclass(frozen=True, slots=True)
class MovedNote:
    """Where a crib went, when (UTC), and who moved it."""

    place: str
    at: str
    person: str

    def __str__(self) -> str:
        return f"{MOVED_WORD} to {self.place} on {self.at[:10]}"


def moved_error(place: Place, said: str) -> CribMoved:
    """Why nothing is written: what a note, or a trigger, says of where the crib went."""
    to = said.partition(" to ")[2].rpartition(" on ")[0]
    go_on = saying("go on there with ", act("say.crib", crib=to))
    back = saying("; ", act("rehouse.take-back"), " takes this one into use again")
    return CribMoved(f"{place} {said} and is only read here", way_out=saying(go_on, back))


def split_revision(found: str) -> tuple[str, bool]:
    """The revision that stands in a crib, and whether the crib moved elsewhere."""
    revision, _space, word = found.partition(" ")
    return revision, word == MOVED_WORD


def note_of(ask: Callable[[str], Iterable[Any]]) -> MovedNote:
    """The note of a crib that moved."""
    return MovedNote(*next(iter(ask(f"SELECT place, at, person FROM {MOVED_TABLE}"))))


def marking(place: Place, note: MovedNote, tables: Sequence[str]) -> Iterator[str]:
    """The statements that mark a crib as moved."""
    values = ", ".join(_quoted(one) for one in (note.place, note.at, note.person))
    yield f"CREATE TABLE {MOVED_TABLE} (place TEXT, at TEXT, person TEXT)"
    yield f"INSERT INTO {MOVED_TABLE} VALUES ({values})"
    yield f"UPDATE alembic_version SET version_num = version_num || ' {MOVED_WORD}'"
    said = _quoted(str(note))
    if isinstance(place, ServerPlace):
        yield (
            f"CREATE FUNCTION {MOVED_TABLE}_only() RETURNS trigger LANGUAGE plpgsql AS"
            f" {_quoted(f'BEGIN RAISE EXCEPTION USING MESSAGE = {said}; END')}"
        )
        for table in tables:
            yield (
                f"CREATE TRIGGER {MOVED_WORD} BEFORE {' OR '.join(_MOMENTS)} OR TRUNCATE ON {table}"
                f" EXECUTE FUNCTION {MOVED_TABLE}_only()"
            )
        return
    for table in tables:
        for moment in _MOMENTS:
            yield (
                f"CREATE TRIGGER {MOVED_WORD}_{table}_{moment.lower()} BEFORE {moment} ON {table}"
                f" BEGIN SELECT RAISE(ABORT, {said}); END"
            )


def unmarking(place: Place, tables: Sequence[str]) -> Iterator[str]:
    """The statements that take the mark off again."""
    if isinstance(place, ServerPlace):
        yield f"DROP FUNCTION {MOVED_TABLE}_only() CASCADE"
    else:
        for table in tables:
            yield from (f"DROP TRIGGER {MOVED_WORD}_{table}_{one.lower()}" for one in _MOMENTS)
    yield f"DROP TABLE {MOVED_TABLE}"
    yield f"UPDATE alembic_version SET version_num = replace(version_num, ' {MOVED_WORD}', '')"


def _quoted(text: str) -> str:
    doubled = text.replace("'", "''")
    return f"'{doubled}'"
