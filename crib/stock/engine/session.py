"""The one way to the crib's data: a session over one connection of an engine.

Every read and every write of the program goes through ``Session``. It is a thin layer over the
engine's driver, because importing an object mapper costs more than answering a question at the
window; the tables themselves are declared (and rows checked) in ``tables``.

A write happens inside ``with session.writing():``, which takes the write lock at once and waits its
turn with a jittered retry. What has been committed is on the disk.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from copy import copy
from itertools import islice
from pathlib import Path
from typing import Any

from crib.acts import act, saying
from crib.errors import (
    CribBusy,
    CribFault,
    NotKnown,
    Refused,
    ServerAway,
)
from crib.stock.engine.at_site import AtSite
from crib.stock.engine.engine import (
    REVISION,
    WAIT_SECONDS,
    Connection,
    Engine,
    Question,
    Row,
    RuleBroken,
    StoreError,
    Values,
    held,
)
from crib.stock.engine.kept_answers import AnswersInBlock
from crib.stock.engine.moved import MOVED_WORD, moved_error
from crib.stock.engine.place import Place, ServerPlace

FIRST_PAUSE_SECONDS = 0.002
LONGEST_PAUSE_SECONDS = 0.1
_AT_ONCE = 5_000
_FIRST = "-- the first row\n"


class _Heard(Exception):
    """A question was asked of a session that only listens."""


class Session:
    """One connection to a crib. Reads are plain queries; writes stand inside ``writing()``.

    Raises:
        RuleBroken: from any writing call, when a row breaks a rule of its table.
        DiskFault: from any call, when the disk or the rights do not allow it.
        StoreError: from any call, when the database says no to it.
    """

    def __init__(
        self,
        engine: Engine,
        connection: Connection,
        path: Place,
        cannot_write: CribFault | None = None,
    ) -> None:
        self.engine = engine
        self.connection = connection
        self.place = path
        self.cannot_write = cannot_write
        """Why nothing can be written, where that is known."""
        self.at: AtSite | None = None
        """Where the asker is, once a door has said it; None in a crib without sites."""
        self._depth = 0
        self._failed = False
        self._holds_moment = False
        self._answers = AnswersInBlock()
        self._hearing: list[Question] | None = None

    @property
    def site(self) -> int | None:
        """The site that is answered for alone; None for all, and in a crib without several."""
        return self.at.id if self.at is not None and self.at.several else None

    def everywhere(self) -> Session:
        """The same connection to read by, answering for the whole company."""
        wide = copy(self)
        wide.at = None if self.at is None else AtSite(None, self.at.names)
        return wide

    @property
    def rooted(self) -> dict[str, int | None]:
        """The column of what is made where the asker is; nothing in a crib without sites."""
        return {} if self.at is None else {"site_id": self.at.id}

    @property
    def path(self) -> Path:
        """The crib's file.

        Raises:
            Refused: for a crib on a server, which has none.
        """
        if isinstance(self.place, ServerPlace):
            message = f"{self.place} lies on a server, and this is done to a file"
            raise Refused(message, way_out="use the server's own tools for it")
        return self.place

    @contextmanager
    def ahead(self, *asks: Callable[[], object]) -> Iterator[None]:
        """Say what the block will ask: the first question of each of these functions.

        A server that is far away answers all of them in one trip, as soon as one is asked; what is
        written makes it forget. Each function is stopped at its question, and is called by the
        block again; for a file none is called. What a block inside says comes beside it; of a
        function with such a block, all that it says is asked.
        """
        if not self.engine.is_far:
            yield
            return
        questions = [one for ask in asks for one in self._heard(ask)]
        if self._hearing is not None:
            self._hearing += questions
            yield
            return
        self.engine.foresee(self.connection, questions)
        try:
            yield
        finally:
            self.engine.forget(self.connection, questions)

    def _heard(self, ask: Callable[[], object]) -> list[Question]:
        heard: list[Question] = []
        before, self._hearing = self._hearing, heard
        try:
            ask()
        except _Heard:
            pass
        finally:
            self._hearing = before
        return heard

    def _kept(self, sql: str, values: Values, called: str = "") -> list[Row] | None:
        """What was answered before in the block; None where it has to be asked."""
        found = self._answers.find(called + sql, values) if self.is_writing else None
        if found is None and self._hearing is not None:
            self._hearing.append((sql, values))
            raise _Heard
        return found

    def rows(self, sql: str, values: Values = ()) -> list[Row]:
        """All rows of a query."""
        found = self._kept(sql, values)
        if found is not None:
            return found
        with self._answering():
            rows: list[Row] = self.connection.execute(sql, values).fetchall()
        if self.is_writing:
            self._answers.keep(sql, values, rows)
        return rows

    def each(self, sql: str, values: Values = ()) -> Iterator[Row]:
        """The rows of a query one by one, for answers too long to hold.

        Within one moment they come from the server some at a time; else, in one trip, all at once.
        """
        with self._answering():
            if self._holds_moment:
                yield from self.engine.stream(self.connection, sql, values)
            else:
                yield from self.connection.execute(sql, values)

    def row(self, sql: str, values: Values = ()) -> Row | None:
        """The first row of a query, or None."""
        kept = self._kept(sql, values, _FIRST)
        if kept is not None:
            return next(iter(kept), None)
        with self._answering():
            found: Row | None = self.connection.execute(sql, values).fetchone()
        if self.is_writing:
            self._answers.keep(_FIRST + sql, values, () if found is None else (found,))
        return found

    def value(self, sql: str, values: Values = ()) -> Any:
        """The first column of the first row, or None."""
        found = self.row(sql, values)
        return None if found is None else found[0]

    def run(self, sql: str, values: Values = ()) -> None:
        """Run one writing statement.

        What a rule of a table refuses may be raised by the next question, or by the commit.
        """
        self._must_be_writing(sql)
        with self._translating():
            self.engine.send(self.connection, sql, values)

    def run_counted(self, sql: str, values: Values = ()) -> int:
        """Run one writing statement and return how many rows it changed."""
        self._must_be_writing(sql)
        with self._translating():
            return self.connection.execute(sql, values).rowcount

    def run_many(self, sql: str, rows: Iterable[Values]) -> None:
        """Run one writing statement for many rows, as ``run`` does."""
        self._must_be_writing(sql)
        with self._translating():
            self.engine.send_many(self.connection, sql, rows)

    def insert(self, table: str, values: Mapping[str, Any]) -> int:
        """Add one row, checked by its table, and return its id; a column left out has its default.

        Raises:
            RowRefused: for a row that its table does not allow.
        """
        row = _checked(table, values)
        sql = f"{_insertion(table, row)} RETURNING id"
        self._must_be_writing(sql)
        with self.refusing(table), self._translating():
            answer = self.connection.execute(sql, row)
            return int(answer.fetchone()[0])

    def add(self, table: str, values: Mapping[str, Any]) -> None:
        """Add one row to a table that has no id of its own; else as ``insert``."""
        row = _checked(table, values)
        with self.refusing(table):
            self.run(_insertion(table, row), row)

    def insert_many(self, table: str, names: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
        """Add many rows of some columns, each as ``insert`` does."""
        from crib.stock.tables.row_check import check_rows, defaults_beside

        others = defaults_beside(table, names)
        every = (*names, *others)
        beside = tuple(others.values())
        sql = f"INSERT INTO {table} ({', '.join(every)}) VALUES ({', '.join('?' * len(every))})"
        waiting = iter(rows)
        while some := list(islice(waiting, _AT_ONCE)):
            check_rows(table, names, some)
            with self._refused(table):
                self.run_many(sql, ((*row, *beside) for row in some) if beside else some)

    def upsert(
        self, table: str, values: Mapping[str, Any], one_by: Sequence[str], then: str
    ) -> None:
        """Add one row as ``insert`` does; where its like is there by some columns, change that."""
        row = _checked(table, values)
        same = ", ".join(one_by)
        with self.refusing(table):
            self.run(f"{_insertion(table, row)} ON CONFLICT ({same}) DO UPDATE SET {then}", row)

    @contextmanager
    def writing(self) -> Iterator[None]:
        """Hold the write lock: commit at the end, roll everything back on any error.

        A block inside a block belongs to the outer one; when it fails, what it wrote is gone even
        if the outer block goes on.

        Raises:
            CribBusy: when another writer does not finish within a minute.
            NoRight: when the crib can only be read.
        """
        if self._depth:
            with self._nested():
                yield
            return
        if self.cannot_write is not None:
            raise self.cannot_write
        self._begin()
        self._answers.forget()
        self._depth, self._failed = 1, False
        try:
            yield
            self._must_be_writing()
            self._commit()
        except BaseException:
            self._take_back("ROLLBACK")
            raise
        finally:
            self._depth = 0

    def _commit(self) -> None:
        try:
            with self._answering():
                self.connection.execute("COMMIT")
        except ServerAway as away:
            message = f"{away.message} while this was being written down: it may be done, or not"
            look = saying("look with ", act("history"), " before you do it again")
            raise NotKnown(message, way_out=look) from away

    @contextmanager
    def taking_part(self) -> Iterator[None]:
        """Write within the block that is open, or in one of its own.

        What fails here fails the whole block: it cannot be gone on with, as it can after a block
        inside a block, but costs no statement.
        """
        if not self._depth:
            with self.writing():
                yield
            return
        try:
            yield
        except BaseException:
            self._failed = True
            raise

    @contextmanager
    def _nested(self) -> Iterator[None]:
        name = f"level_{self._depth}"
        with self._translating():
            self.connection.execute(f"SAVEPOINT {name}")
        self._depth += 1
        failed = self._failed
        try:
            yield
            with self._answering():
                self.engine.settle(self.connection)
        except BaseException:
            self._failed = self._take_back(f"ROLLBACK TO {name}", f"RELEASE {name}") or failed
            raise
        else:
            with self._translating():
                self.connection.execute(f"RELEASE {name}")
        finally:
            self._depth -= 1

    def _take_back(self, *statements: str) -> bool:
        """Take back what was written, and say whether that failed; the first error is what is told.

        A full disk may have rolled back the whole transaction before, savepoints and all.
        """
        self._answers.forget()
        try:
            for sql in statements if self.connection.in_transaction else ():
                self.connection.execute(sql)
        except self.engine.error:
            return True
        return not self.connection.in_transaction

    @contextmanager
    def one_moment(self) -> Iterator[None]:
        """Hold one state of the crib while it is read; others may go on writing meanwhile."""
        if self.connection.in_transaction:
            yield
            return
        with self._translating():
            self.engine.begin_moment(self.connection)
        self._holds_moment = True
        try:
            yield
        finally:
            self._holds_moment = False
            with self._translating():
                self.connection.execute("COMMIT")

    def state(self) -> int:
        """A number that is another one once another session has written in the crib."""
        with self._translating():
            return self.engine.state(self.connection)

    def _begin(self) -> None:
        deadline = time.monotonic() + WAIT_SECONDS
        pause = FIRST_PAUSE_SECONDS
        while True:
            try:
                self.engine.begin_writing(self.connection)
            except self.engine.error as error:
                if not self.engine.is_locked(error):
                    raise self._translated(error) from error
                if time.monotonic() > deadline:
                    message = f"{self.place}: another writer held the crib for {WAIT_SECONDS:.0f} s"
                    raise CribBusy(
                        message, way_out="try again; nothing of this was written"
                    ) from error
                time.sleep(pause * random.uniform(0.5, 1.5))
                pause = min(pause * 2, LONGEST_PAUSE_SECONDS)
            else:
                return

    def _must_be_writing(self, sql: str = "") -> None:
        self._answers.forget(sql)
        if not self._depth:
            message = "a write outside `with session.writing():`"
            raise RuntimeError(message)
        if self._failed:
            message = "a block that took part in this one failed: nothing of it may stay"
            raise RuntimeError(message)

    @contextmanager
    def _translating(self) -> Iterator[None]:
        """Let what the driver raises leave as an error that every engine has."""
        try:
            yield
        except self.engine.error as error:
            raise self._translated(error) from error

    def _translated(self, error: Exception) -> Exception:
        rule = self.engine.broken_rule(error)
        if rule is not None:
            return RuleBroken(rule)
        said = str(error).partition("\n")[0]
        if said.startswith(f"{MOVED_WORD} to "):
            return moved_error(self.place, said)
        if self.engine.is_locked(error):
            return held(self.place)
        return self.engine.disk_fault(error, self.place) or StoreError(str(error))

    @contextmanager
    def _answering(self) -> Iterator[None]:
        """Let a question's errors leave so, those of what was sent before it among them."""
        with self._refused(""), self._translating():
            yield

    @contextmanager
    def refusing(self, table: str) -> Iterator[None]:
        """Say of a row that a rule of the database refuses what is wrong with it."""
        with self._refused(table), self._translating():
            yield
            self.engine.settle(self.connection)

    @contextmanager
    def _refused(self, table: str) -> Iterator[None]:
        try:
            yield
        except RuleBroken as error:
            from crib.stock.tables.row_check import refused_by

            rule = error.rule
            raise refused_by(rule.table or table, rule.sort, rule.name) from error

    @property
    def is_writing(self) -> bool:
        """Whether a block that writes has begun."""
        return self._depth > 0

    @property
    def is_lost(self) -> bool:
        """Whether the connection is gone, so that nothing can be asked until there is another."""
        return self.engine.is_lost(self.connection)

    def connect_again(self) -> None:
        """Take another connection to the same crib, in the place of one that is lost.

        Raises:
            ServerAway: when there is none to be had.
        """
        self.connection.close()
        self.connection = self.engine.connect(self.place)
        self.engine.forget(self.connection, [REVISION])

    def close(self) -> None:
        """Let the connection go."""
        self.connection.close()


def _checked(table: str, values: Mapping[str, Any]) -> dict[str, Any]:
    """The row as its table lets it through; the check is loaded for the first row that goes in."""
    from crib.stock.tables.row_check import checked_row

    return checked_row(table, values)


def _insertion(table: str, values: Mapping[str, Any]) -> str:
    marks = ", ".join(f":{column}" for column in values)
    return f"INSERT INTO {table} ({', '.join(values)}) VALUES ({marks})"
