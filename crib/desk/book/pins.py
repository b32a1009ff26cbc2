"""A person's PIN for the page: set at the shell, asked for when somebody touches the name."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal

from crib.desk.common.secret_hashes import dear_hash, is_dear_hash_of
from crib.errors import BadValue
from crib.stock.book.people import person_called, person_id
from crib.stock.book.pins import KeptPin, keep_pin, kept_pin
from crib.stock.engine.session import Session

SHORTEST, LONGEST = 4, 12
FREE_TRIES = 3
FIRST_WAIT_S = 15.0
LONGEST_WAIT_S = 900.0


@dataclass(frozen=True, slots=True)
class PinKept:
    """Whose PIN was set or taken away."""

    person: str
    has_pin: bool


@dataclass(frozen=True, slots=True)
class PinTried:
    """What came of a PIN that was typed; ``wait_s`` is how long the next try must wait."""

    said: Literal["right", "wrong", "wait"]
    wait_s: float = 0.0


def set_pin(session: Session, name: str, pin: str) -> PinKept:
    """Keep a person's PIN, in the place of one from before.

    Raises:
        UnknownName: when nobody has that name.
        BadValue: for anything but 4 to 12 digits.
    """
    if not (pin.isascii() and pin.isdecimal() and SHORTEST <= len(pin) <= LONGEST):
        message = f"a PIN is {SHORTEST} to {LONGEST} digits"
        raise BadValue(message, way_out="type it again; nothing was written")
    with session.writing():
        person = person_called(session, name)
        keep_pin(session, person_id(session, person), KeptPin(dear_hash(pin)))
    return PinKept(person, has_pin=True)


def drop_pin(session: Session, name: str) -> PinKept:
    """Ask a person for no PIN any more.

    Raises:
        UnknownName: when nobody has that name.
    """
    with session.writing():
        person = person_called(session, name)
        keep_pin(session, person_id(session, person), None)
    return PinKept(person, has_pin=False)


def has_pin(session: Session, name: str) -> bool:
    """Whether a badge name is behind a PIN."""
    return kept_pin(session, name) is not None


def try_pin(session: Session, name: str, pin: str, now: datetime | None = None) -> PinTried:
    """Try a PIN; after three wrong ones each further try waits twice as long, up to 15 minutes."""
    now_s = (now or datetime.now(UTC)).timestamp()
    with session.writing():
        kept = kept_pin(session, name)
        if kept is None:
            return PinTried("right")
        # A clock that was set back would else lock somebody out for good.
        wait_s = min(kept.wait_until_s - now_s, LONGEST_WAIT_S)
        if wait_s > 0:
            return PinTried("wait", wait_s)
        if is_dear_hash_of(pin, kept.pin_hash):
            if kept.wrong:
                keep_pin(session, person_id(session, name), KeptPin(kept.pin_hash))
            return PinTried("right")
        wrong = kept.wrong + 1
        wait_s = wait_after(wrong)
        tried = KeptPin(kept.pin_hash, wrong, now_s + wait_s)
        keep_pin(session, person_id(session, name), tried)
    return PinTried("wrong", wait_s)


def wait_after(wrong: int) -> float:
    """Seconds until the next try, after so many wrong ones."""
    if wrong < FREE_TRIES:
        return 0.0
    return float(min(FIRST_WAIT_S * 2 ** min(wrong - FREE_TRIES, 20), LONGEST_WAIT_S))
