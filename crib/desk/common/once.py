"""Do what is asked once, however often it is sent: after a lost answer, a page sent twice.

Whoever asks makes a key up for each thing he means to do. The first time the key is kept in the
act's own transaction, with what was asked and what was answered; from then on the same request with
the same key is answered as it was, and nothing is done.
"""

from __future__ import annotations

import hashlib
import random
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar

from crib.errors import BadValue, NotKnown, Refused, ServerAway
from crib.stock.book.kept_keys import KeptKey, keep_key, kept_key, last_entry
from crib.stock.book.ledger import new_stamp
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session

Made = TypeVar("Made")

LONGEST_KEY = 80
_LONGEST_REQUEST = 400
_PAUSES_S = (0.05, 0.1, 0.2, 0.4)
"""Before a server that is away is asked again; a server that starts takes longer than all."""


@dataclass(frozen=True, slots=True)
class KeyedRequest:
    """A request with its key. ``means`` is the same text for the same request, whoever words it.

    ``command`` says of which sort it is, ``words`` how it was said, for people.
    """

    key: str
    command: str
    means: str
    words: str
    by: str = ""

    @property
    def digest(self) -> str:
        """What tells the request from every other."""
        return hashlib.sha256(f"{self.command}\n{self.means}".encode()).hexdigest()


def once(
    session: Session, asked: KeyedRequest, do: Callable[[], str], now: datetime | None = None
) -> str:
    """The answer to a request, done now or found done before.

    Where the connection to a server is lost, it is done again, since the key tells whether it was
    done: some times, with pauses, and not within a block that had begun before.

    Raises:
        BadValue: for a key that cannot be.
        Refused: for a key that was used for another request.
        NotKnown: when a server was lost for good while it was done.
        CribError: whatever ``do`` raises; nothing of it is written then, and the key is free.
    """

    def done_now() -> str:
        with session.writing():
            before = done_before(session, asked)
            if before is not None:
                return before.answer
            after = last_entry(session)
            answer = do()
            keep_done(session, asked, answer, after, now)
        return answer

    return done_now() if session.is_writing else _in_spite_of_cuts(session, done_now)


def kept_after_all(session: Session, asked: KeyedRequest) -> KeptKey | None:
    """Whether a request was done whose commit was cut off; None when nothing was done.

    Raises:
        NotKnown: when the server stays away.
    """

    def look() -> KeptKey | None:
        # Behind the lock, which the server holds for as long as it is still at that commit.
        with session.writing():
            return done_before(session, asked)

    return _in_spite_of_cuts(session, look, is_unknown=True)


def _in_spite_of_cuts(
    session: Session, do: Callable[[], Made], *, is_unknown: bool = False
) -> Made:
    """Do what may be done again, with another connection where one is lost."""
    for pause_s in (*_PAUSES_S, None):
        try:
            if session.is_lost:
                session.connect_again()
            return do()
        except ServerAway as away:
            is_unknown = is_unknown or isinstance(away, NotKnown)
            if pause_s is None and is_unknown:
                raise _not_known(away) from away
            if pause_s is None:
                raise
            time.sleep(pause_s * random.uniform(0.5, 1.5))
    raise AssertionError


def _not_known(away: ServerAway) -> NotKnown:
    message = f"{away.message}; what was asked may be done, or not"
    return NotKnown(message, way_out="send it again with the same key: it counts once")


def done_before(session: Session, asked: KeyedRequest) -> KeptKey | None:
    """What was answered to the same request before; None for a new key.

    Raises:
        BadValue: for a key that cannot be.
        Refused: for a key that was used for another request.
    """
    key = asked.key.strip()
    # Figures alone are more likely some measure that was meant for another option.
    lettered = key.isprintable() and any(letter.isalpha() for letter in key)
    if not lettered or len(key) > LONGEST_KEY:
        message = f"key {key[:20]!r}: a key has 1 to {LONGEST_KEY} letters and figures,"
        message = f"{message} a letter among them"
        raise BadValue(message, way_out="make one up for each thing you do, such as 2026-03-31-a")
    kept = kept_key(session, key)
    if kept is None or kept.digest == asked.digest:
        return kept
    moment = kept.made_at.replace("T", " ")[:16]
    message = f"key {key!r} was used for {kept.request!r}, {moment} UTC, by {kept.person}"
    raise Refused(message, way_out="nothing was done now; take a new key for another request")


def keep_done(
    session: Session, asked: KeyedRequest, answer: str, after: int, now: datetime | None = None
) -> None:
    """Keep a request as done. Stands inside the transaction that does it.

    ``after`` is the number of the newest entry before it.
    """
    stamp = new_stamp(person_id(session, asked.by), now=now)
    words = asked.words[:_LONGEST_REQUEST]
    kept = KeptKey(asked.key.strip(), asked.command, words, asked.digest, answer, "", "")
    keep_key(session, stamp, kept, after)
