"""The ledger's seals: each entry carries one, made of all that it says and of the seal before it.

Whoever changes, erases, adds or swaps entries past the program breaks the seals from there to
where the old ones still stand; ``ledger_end`` keeps the newest, so that a ledger cut short is told
too. A seal is no signature: who makes all seals anew, and the end with them, is not found out.

A seal is the BLAKE2b digest (RFC 7693, 16 bytes, as hexadecimal digits) of the seal before it and
of the entry as JSON, so that any database and any program can make it again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from hashlib import blake2b
from json import JSONEncoder
from operator import itemgetter
from typing import Any, TypeAlias

from crib.stock.engine.session import Session
from crib.stock.tables.row_check import columns_of

FIRST = (
    *("id", "act", "person_id", "made_at", "shift_on", "action", "piece_id", "quantity"),
    *("weighted_milli", "strokes_edge", "severity", "estimate", "material", "thickness_mm", "job"),
    *("place_id", "condition", "length_mm", "ground_um", "measured_width_mm", "measured_long_mm"),
    *("edge", "acknowledged", "found", "note", "reverses_id", "factors", "subject"),
)
"""The columns that stand in every seal, in this order for ever; a later one only where it says
something, so that the seals of entries from before it stay good."""

Sealer = Callable[[str, Sequence[Any]], str]
"""The seal of an entry, from the seal before it and the entry's values."""

End: TypeAlias = "tuple[int, str]"
"""The number of an entry, and its seal."""

NOTHING_YET: End = (0, "")

_NUMBERS = (int, float)
_as_json = JSONEncoder(separators=(",", ":"), default=repr).encode


@dataclass(frozen=True, slots=True)
class BrokenSeal:
    """Where the ledger is not as it was written: at an entry, or at its end when that is None."""

    entry: int | None


def sealer(names: Sequence[str]) -> Sealer:
    """What makes the seals of entries whose values come in the order of these columns."""
    columns = columns_of("entry")
    first = itemgetter(*(names.index(name) for name in FIRST))
    later = [
        (name, at, columns[name].default)
        for name, at in sorted((name, at) for at, name in enumerate(names))
        if name not in (*FIRST, "seal")
    ]
    # What a driver gives back must read as what was given to it: 10 as 10.0, True as 1.
    as_number = [
        (at, 0.0 if columns[name].type == "float" else 0)
        for at, name in enumerate(FIRST)
        if columns[name].type in ("float", "bool")
    ]

    def seal(before: str, values: Sequence[Any]) -> str:
        said = list(first(values))
        for at, nothing in as_number:
            if isinstance(said[at], _NUMBERS):
                said[at] += nothing
        said += [{name: values[at]} for name, at, default in later if values[at] != default]
        return blake2b(f"{before} {_as_json(said)}".encode(), digest_size=16).hexdigest()

    return seal


def ledger_end(session: Session) -> End:
    """Where the ledger ends: the newest entry's number, 0 when there is none, and the last seal."""
    row = session.row(
        "SELECT coalesce((SELECT max(id) FROM entry), 0),"
        " (SELECT seal FROM ledger_end WHERE id = 1)"
    )
    assert row is not None
    return int(row[0]), row[1] or ""


def set_end(session: Session, end: End) -> None:
    """Keep where the ledger ends now."""
    session.run("UPDATE ledger_end SET entry_id = ?, seal = ? WHERE id = 1", end)


def broken_seals(session: Session) -> Iterator[BrokenSeal]:
    """Every place where the ledger is not as it was written. Reads only."""
    names = [*columns_of("entry")]
    seal, number, kept = sealer(names), names.index("id"), names.index("seal")
    end = NOTHING_YET
    for row in _rows(session, names):
        # Each rests on the seal that stands before it, so that one change is told but once.
        if seal(end[1], row) != row[kept]:
            yield BrokenSeal(row[number])
        end = row[number], row[kept]
    if _kept_end(session) != end:
        yield BrokenSeal(None)


def seal_all(session: Session) -> None:
    """Seal the whole ledger anew, for one that was just brought in from files."""
    names = [*columns_of("entry")]
    seal, number = sealer(names), names.index("id")
    end, seals = NOTHING_YET, []
    for row in _rows(session, names):
        end = row[number], seal(end[1], row)
        seals.append(end[::-1])
    session.run_many("UPDATE entry SET seal = ? WHERE id = ?", seals)
    set_end(session, end)


def _rows(session: Session, names: Sequence[str]) -> Iterator[Any]:
    return session.each(f"SELECT {', '.join(names)} FROM entry ORDER BY id")


def _kept_end(session: Session) -> End | None:
    row = session.row("SELECT entry_id, seal FROM ledger_end WHERE id = 1")
    return None if row is None else (row[0], row[1])
