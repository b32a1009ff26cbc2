"""Every error the crib raises on purpose.

CribError                     anything the crib says no to
├── BadInput                  the request is wrong (exit status 2)
│   ├── BadQuantity           a length, thickness, force or stress that cannot be read
│   ├── BadPhrase             a feature phrase that cannot be read; knows the word at fault
│   ├── BadValue              a number outside its limits
│   ├── UnknownName           a material, tag, seat, machine ... that is not known
│   ├── Missing               something needed was never told to the crib (a rating, a seat)
│   ├── Refused               understood, and not done: it would hurt somebody or lose a record
│   │   └── NotAllowed       somebody may not do that sort of act
│   ├── AskBack               a likely mistake, or a choice to make: ask, and do it as answered
│   │   ├── UnsureQuantity    a quantity that may be one of several, also a BadQuantity
│   │   ├── UnsureName        a name that several go by, also an UnknownName
│   │   └── UnsurePhrase      a phrase that may mean several things, also a BadPhrase
│   └── BadRows               a sheet or folder with faults, all of them listed
├── ReadingFault              the program lost something of a file while reading it (exit status 1)
└── CribFault                 the crib's file cannot be used (exit status 1)
    ├── NoCrib                there is no crib at that place
    ├── CribMoved             the crib moved elsewhere, and is only read here
    ├── CribBusy              somebody else is writing and did not finish in time
    ├── CribDamaged           the file is not a crib, or fails its own checks
    │   └── NewerCrib         a newer program wrote it
    └── DiskFault             the disk failed; the crib itself may be whole
        ├── DiskFull          there is no room left
        ├── NoRight           a right is lacking, or the disk is read-only
        └── ServerAway        the server does not answer, or the connection to it is lost
            └── NotKnown      it was lost while what was done was being committed

Each class has a stable ``code`` for programs. A message says what is wrong, the value, the limit;
``way_out`` says what to do instead, with the acts that help (``crib/acts.py``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crib.acts import Choice, Doubt, Said, saying


class CribError(Exception):
    """Anything the crib says no to."""

    code = "error"
    exit_status = 1

    def __init__(self, message: str, *, way_out: Said = "") -> None:
        super().__init__(message)
        self.message = message
        self.way_out = way_out

    def said(self, between: str) -> Said:
        """The message and the way out as one, for a list of faults."""
        return saying(self.message, between, self.way_out) if self.way_out else self.message


class BadInput(CribError):
    """The request is wrong; a door may note in ``about`` the fields of its form that are."""

    code = "bad-input"
    exit_status = 2
    about: tuple[str, ...] = ()


class BadQuantity(BadInput):
    """A length, thickness, force or stress that cannot be read."""

    code = "bad-quantity"


class BadPhrase(BadInput):
    """A feature phrase that cannot be read; ``start`` and ``end`` mark the word at fault."""

    code = "bad-phrase"

    def __init__(
        self, message: str, *, text: str, start: int, end: int, way_out: Said = ""
    ) -> None:
        super().__init__(message, way_out=way_out)
        self.text = text
        self.start = start
        self.end = end

    def pointer(self) -> str:
        """The phrase with a row of carets under the word at fault."""
        width = max(1, self.end - self.start)
        return f"{self.text}\n{' ' * self.start}{'^' * width}"


class BadValue(BadInput):
    """A number outside its limits."""

    code = "bad-value"


class UnknownName(BadInput):
    """A name that is not known; the message lists what is."""

    code = "unknown-name"


class Missing(BadInput):
    """Something needed was never told to the crib: a rating, a seat, a thickness."""

    code = "missing"


class Refused(BadInput):
    """Understood, and not done: it would hurt somebody or lose a record."""

    code = "refused"


class NotAllowed(Refused):
    """Somebody may not do that sort of act."""

    code = "not-allowed"


class AskBack(BadInput):
    """Looks like a mistake, or needs a choice.

    ``confirm`` is the code of the one doubt: a request that carries it among what it confirms is
    not asked that again. ``choose`` is the field in which a choice is said. ``readings`` are what
    can be said instead, where it may mean one of several. ``told`` are the lines to look at first.
    """

    code = "ask-back"

    def __init__(
        self,
        message: str,
        *,
        confirm: Doubt | None = None,
        choose: Choice | None = None,
        readings: Sequence[str] = (),
        told: Sequence[str] = (),
        way_out: Said = "",
    ) -> None:
        super().__init__(message, way_out=way_out or " or ".join(readings))
        self.confirm = confirm
        self.choose = choose
        self.readings = tuple(readings)
        self.told = tuple(told)


class UnsureQuantity(BadQuantity, AskBack):
    """A quantity that may be one of several, such as a number with a comma."""

    code = "ask-back"


class UnsureName(UnknownName, AskBack):
    """A name that several things could go by, such as steel."""

    code = "ask-back"


class UnsurePhrase(BadPhrase, AskBack):
    """A phrase that may mean one of several; ``start`` and ``end`` mark what is not sure."""

    code = "ask-back"

    def __init__(
        self,
        message: str,
        *,
        text: str,
        start: int,
        end: int,
        readings: Sequence[str],
        way_out: Said = "",
    ) -> None:
        way_out = way_out or f"say {' or '.join(f'`{one}`' for one in readings)}"
        super().__init__(message, text=text, start=start, end=end, way_out=way_out)
        self.readings = tuple(readings)


@dataclass(frozen=True)
class RowFault:
    """One fault in one row of a sheet: where it is and what is wrong with it.

    Line 0 is the whole file.
    """

    file: str
    line: int
    column: str
    text: Said

    def __str__(self) -> str:
        return str(self.said())

    def said(self) -> Said:
        """The place and what is wrong there."""
        column = f", {self.column}" if self.column else ""
        line = f" line {self.line}" if self.line else ""
        return saying(f"{self.file}{line}{column}: ", self.text)


class BadRows(BadInput):
    """A sheet or folder with faults; nothing of it was taken.

    ``is_told`` is whether the message tells of all of them by itself.
    """

    code = "bad-rows"

    def __init__(
        self,
        message: str,
        faults: Sequence[RowFault],
        *,
        way_out: Said = "",
        is_told: bool = False,
    ) -> None:
        super().__init__(message, way_out=way_out)
        self.faults = tuple(faults)
        self.is_told = is_told


class ReadingFault(CribError):
    """Something of a file was neither counted, merged nor told: the program is at fault."""

    code = "reading-fault"


class CribFault(CribError):
    """The crib's file cannot be used."""

    code = "crib-fault"


class NoCrib(CribFault):
    """There is no crib at that place."""

    code = "no-crib"


class CribMoved(CribFault):
    """The crib moved elsewhere, and is only read here."""

    code = "crib-moved"


class CribBusy(CribFault):
    """Somebody else is writing and did not finish in time."""

    code = "crib-busy"


class CribDamaged(CribFault):
    """The file is not a crib, or fails its own checks."""

    code = "crib-damaged"


class NewerCrib(CribDamaged):
    """A newer program wrote it."""

    code = "newer-crib"


class DiskFault(CribFault):
    """The disk failed to read or to write; the crib itself may be whole."""

    code = "disk-fault"


class DiskFull(DiskFault):
    """There is no room left on the disk."""

    code = "disk-full"


class NoRight(DiskFault):
    """The right to read or to write is lacking, or the disk is read-only."""

    code = "no-right"


class ServerAway(DiskFault):
    """The server of a crib does not answer, or the connection to it is lost."""

    code = "server-away"


class NotKnown(ServerAway):
    """The connection was lost while an act was committed: it is done, or not begun."""

    code = "not-known"
