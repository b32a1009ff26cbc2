"""Where the desk works: quick questions at the server's own thread, slow ones and writing beside.

A quick question takes some hundredths of a second, and Python answers one at a time however many
threads there are: handing it to another thread and back made it slower, and those that wait
behind it longer. A session belongs to one thread. Each question looks first whether the crib's file
is still the one that was opened, since after a restore it is another, and whether its tables are
this program's.
"""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Lock
from typing import TypeVar

from crib.errors import DiskFault
from crib.page.frame.as_it_is import AsItIs
from crib.stock.engine.engine import StoreError
from crib.stock.engine.opening import head_revision, open_crib
from crib.stock.engine.place import Place
from crib.stock.engine.session import Session
from crib.stock.queries.whole_crib import table_revision

Made = TypeVar("Made")
_OPENING = Lock()
"""One thread at a time opens the crib, since that may mean to upgrade it."""


class DeskHere:
    """An open crib at the thread that asks."""

    def __init__(self, crib: Place, *, keeps: bool = True) -> None:
        self._crib = crib
        self._keeps = keeps
        self._line = asyncio.Lock()
        self._session: Session | None = None
        self._opened: tuple[int, int] | None = None
        self.state: int | None = None
        """The crib's state as it was just before the work that is done."""
        self._kept: tuple[object, AsItIs] | None = None

    async def run(self, work: Callable[[Session], Made]) -> Made:
        """Do some work with the session, after what came before it."""
        async with self._line:
            # Lets those into the line who came while the one before was answered.
            await asyncio.sleep(0)
            return self._with(work)

    def as_it_is(self, session: Session) -> AsItIs:
        """The crib of its session as the asker sees it, kept until somebody else writes in it.

        What this thread writes itself it does not see as a change: one that writes keeps nothing.
        """
        asked_at = (session, self.state, session.at)
        if self._kept is None or self._kept[0] != asked_at or not self._keeps:
            self._kept = asked_at, AsItIs(session)
        return self._kept[1]

    def close(self) -> None:
        """Let the crib go."""
        self._kept = None
        if self._session is not None:
            self._session.close()
            self._session = None

    def _with(self, work: Callable[[Session], Made]) -> Made:
        return work(self._now())

    def _now(self) -> Session:
        """The session; opened anew where the crib is another file, or has other tables now."""
        there = _identity(self._crib)
        if self._session is None or there != self._opened or self._has_other_tables(self._session):
            DeskHere.close(self)
            with _OPENING:
                self._session = open_crib(self._crib)
            self._opened = _identity(self._crib)
            self.state = self._session.state()
        return self._session

    def _has_other_tables(self, session: Session) -> bool:
        """Whether a restore or a newer program brought other tables into the crib meanwhile.

        A connection that is lost, as when the server was away, counts as well.
        """
        try:
            state = session.state()
            if state == self.state:
                return False
            self.state = state
            return table_revision(session) != head_revision()
        except (StoreError, DiskFault):
            return True


class DeskThread(DeskHere):
    """One thread of its own with an open crib."""

    def __init__(self, name: str, crib: Place, *, keeps: bool = True) -> None:
        super().__init__(crib, keeps=keeps)
        self._pool = ThreadPoolExecutor(1, thread_name_prefix=f"crib-{name}")

    async def run(self, work: Callable[[Session], Made]) -> Made:
        """Do some work with this thread's session, after what waits before it."""
        return await asyncio.get_running_loop().run_in_executor(self._pool, self._with, work)

    def close(self) -> None:
        """Let the crib go, when what is being done is done."""
        self._pool.submit(super().close).result()
        self._pool.shutdown()


class DeskThreads:
    """The page's ways to the desk; the crib is opened when the first device comes."""

    def __init__(self, crib: Place) -> None:
        # What waits for a server far away may not keep the page from hearing.
        self.quick = DeskHere(crib) if isinstance(crib, Path) else DeskThread("quick", crib)
        self.slow = DeskThread("slow", crib)
        self.writing = DeskThread("writing", crib, keeps=False)

    def close(self) -> None:
        """Let the crib go in all of them."""
        for one in (self.quick, self.slow, self.writing):
            one.close()


def _identity(crib: Place) -> tuple[int, int] | None:
    """Which file the crib is; None where there is none, as on a server."""
    if not isinstance(crib, Path):
        return None
    try:
        found = os.stat(crib)
    except OSError:
        return None
    return found.st_dev, found.st_ino
