"""What one database does differently from another, and the few words that all of them share.

A session asks its engine for these things: to connect, to connect where only reading is possible,
to begin writing, to hold one moment's view, to stream a long answer, to send what nobody waits for
and to have it done, to ask ahead, whether the connection is lost, whether another has written
since, whether an error only says that somebody else is writing, which rule of the tables an error
says was broken, what fault of the disk it tells of, how a hint to the planner is written, and how
the database is asked about itself. All else is SQL that every engine reads alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol, TypeAlias

from crib.acts import act, saying
from crib.errors import CribBusy, CribDamaged, DiskFault
from crib.stock.engine.place import Place

Values = Sequence[Any] | Mapping[str, Any]
"""What stands for the marks of a statement, in order or by name."""

Question: TypeAlias = tuple[str, Values]
"""A query and what stands for its marks."""

REVISION: Question = ("SELECT version_num FROM alembic_version", ())
"""Of which revision the tables of a crib are."""

WAIT_SECONDS = 60.0
"""How long a writer waits for the others."""


class Row(Protocol):
    """One row of an answer: its values by name and by number."""

    def __getitem__(self, key: int | str, /) -> Any: ...
    def __iter__(self) -> Iterator[Any]: ...
    def __len__(self) -> int: ...

    def keys(self) -> Iterable[str]:
        """The names of its columns."""


class Cursor(Protocol):
    """What a statement gave: its rows, and how many it changed."""

    @property
    def rowcount(self) -> int:
        """How many rows a writing statement changed."""

    def fetchone(self) -> Any:
        """The next row, or None."""

    def fetchall(self) -> list[Any]:
        """All rows that are left."""

    def __iter__(self) -> Iterator[Any]: ...


class Connection(Protocol):
    """A driver's connection, as far as a session uses it."""

    @property
    def in_transaction(self) -> bool:
        """Whether something was begun that is not committed."""

    def execute(self, sql: str, values: Values = ..., /) -> Cursor:
        """Run one statement."""

    def executemany(self, sql: str, rows: Iterable[Values], /) -> Cursor:
        """Run one writing statement for many rows."""

    def close(self) -> None:
        """Let it go."""


@dataclass(frozen=True, slots=True)
class Hint:
    """What a planner is told where it cannot know how few rows a condition leaves.

    ``aside`` stands before a column by which no index is to be entered; ``then_join`` joins a table
    that is to be read after those before it. ``lateral`` says that a query which looks at the rows
    before it is asked once for each of them only where it is joined. None changes an answer.
    """

    aside: str = ""
    then_join: str = "JOIN"
    lateral: bool = False

    def join_each(self, table: str, numbers: str) -> str:
        """Join the rows of a table whose numbers a query gives for each row that stands before.

        The query is for distinct ``id`` and may look at those rows.
        """
        if not self.lateral:
            return f"{self.then_join} {table} ON {table}.id IN ({numbers})"
        picked = f"{table}_of"
        return (
            f"CROSS JOIN LATERAL ({numbers}) AS {picked} (id)"
            f" JOIN {table} ON {table}.id = {picked}.id"
        )


Ask: TypeAlias = Callable[[str], Iterable[Any]]
"""What runs a query and gives its rows."""


@dataclass(frozen=True, slots=True)
class Inspection:
    """How a database is asked about itself.

    ``faults`` are what it finds damaged; ``orphans`` rows whose owner is gone (table, first number
    of the row's key, the owner's table); ``tables`` and ``columns`` what is there, no columns for
    a table that is not; ``mark`` a number that the crib carries beside its rows (0 until one is
    written) and ``marking`` the statement that writes it.
    """

    faults: Callable[[Ask], Iterator[str]]
    orphans: Callable[[Ask], Iterator[tuple[str, int, str]]]
    tables: Callable[[Ask], Iterator[str]]
    columns: Callable[[Ask, str], Iterator[str]]
    mark: Callable[[Ask], int]
    marking: Callable[[int], str]


@dataclass(frozen=True, slots=True)
class BrokenRule:
    """A rule of the tables that a row breaks.

    ``sort`` is CHECK, UNIQUE, NOT NULL or FOREIGN KEY; ``table`` and ``name`` (of the constraint,
    else of its columns) are empty where the engine does not tell.
    """

    sort: str
    table: str = ""
    name: str = ""

    def __str__(self) -> str:
        where = ", ".join(
            f"{self.table}.{column}" if self.table else column
            for column in self.name.split(", ")
            if column
        )
        return f"{self.sort} constraint failed{f': {where}' if where else ''}"


class StoreError(Exception):
    """The database said no; the text is the engine's own."""


class RuleBroken(StoreError):
    """A row was refused by a rule of its table."""

    def __init__(self, rule: BrokenRule) -> None:
        super().__init__(str(rule))
        self.rule = rule


class Engine(Protocol):
    """The duties of a database under a session."""

    @property
    def error(self) -> type[Exception]:
        """What its driver raises."""

    @property
    def hint(self) -> Hint:
        """How its planner is told what it cannot know."""

    @property
    def is_far(self) -> bool:
        """Whether each question waits for a trip over a wire."""

    @property
    def inspection(self) -> Inspection:
        """How it is asked about itself."""

    def connect(self, path: Any) -> Connection:
        """Open what is there, with the settings that every connection of a crib must have.

        Raises:
            NoCrib: when nothing is there.
            CribDamaged: when what is there is not a crib.
            CribBusy: when somebody holds it shut.
            DiskFault: when the disk or the rights do not allow it.
        """

    def connect_to_read(self, path: Any) -> Connection | None:
        """Open what is there where it cannot be written, else None."""

    def begin_writing(self, connection: Connection) -> None:
        """Take the write lock before all else, or fail with an error that ``is_locked`` knows."""

    def begin_moment(self, connection: Connection) -> None:
        """Hold one state of the crib for reading until the next commit."""

    def stream(self, connection: Connection, sql: str, values: Values) -> Iterable[Any]:
        """The rows of a query some at a time, within the one moment that is held."""

    def send(self, connection: Connection, sql: str, values: Values) -> None:
        """Run a writing statement, now or before the next one that has an answer."""

    def send_many(self, connection: Connection, sql: str, rows: Iterable[Values]) -> None:
        """Run a writing statement for many rows, as ``send`` does."""

    def settle(self, connection: Connection) -> None:
        """Have what was sent done, or raise what became of it."""

    def foresee(self, connection: Connection, questions: Sequence[Question]) -> None:
        """Say which queries come as well, so that they may be sent together."""

    def forget(self, connection: Connection, questions: Sequence[Question]) -> None:
        """Say that these do not come any more."""

    def is_lost(self, connection: Connection) -> bool:
        """Whether nothing can be asked through a connection any more."""

    def state(self, connection: Connection) -> int:
        """A number that is another one once another connection has written."""

    def is_locked(self, error: Exception) -> bool:
        """Whether an error only says that somebody else is writing."""

    def broken_rule(self, error: Exception) -> BrokenRule | None:
        """The rule that an error says was broken; None for any other error."""

    def disk_fault(self, error: Exception, path: Any) -> DiskFault | None:
        """What an error says of the disk or the rights; None for any other error."""


def held(path: Place) -> CribBusy:
    """Somebody else holds the crib shut."""
    message = f"{path}: another program holds the crib"
    return CribBusy(message, way_out="try again in a moment")


def not_a_crib(path: Place) -> CribDamaged:
    """What stands there is no crib, or no crib any more."""
    message = f"{path} is not a crib, or it is damaged"
    bring_back = act("restore", backup=None)
    way_out = saying("check the path; a safe copy comes back with ", bring_back)
    return CribDamaged(message, way_out=way_out)
