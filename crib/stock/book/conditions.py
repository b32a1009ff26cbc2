"""Where a piece is and in which condition: as written, one entry after the other.

No date has a say in it. A reported break holds until an entry that was written later clears it, and
what clears it depends on what was reported: nothing brings a snapped or shattered piece back, a
cracked one only an inspection by somebody who did not report it. Taking the report back by a
counter-entry takes it out of the ledger's sum altogether.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from crib.stock.book.subjects import DAMAGE, damage_of
from crib.stock.engine.engine import Row
from crib.stock.engine.session import Session

USABLE = ("sound", "inspect", "locked")
"""Conditions of a piece that is there and whole, as far as anybody knows."""

FOR_GOOD = ("snapped", "shattered")
"""Damage from which no piece comes back."""

_CLEARED_BY = ("grind", "look", "correct")
"""What may say that other damage is gone: ground out, looked at, or put right by hand."""

_GRAVITY = {"": 0, "broken": 1, "chipped": 1, "cracked": 2, "snapped": 3, "shattered": 3}

WRITTEN_COLUMNS = ("place_id", "condition")
STATE_COLUMNS = (
    ", ".join(
        f"entry.{name}"
        for name in ("id", "action", "person_id", "subject", "place_id", "condition")
    )
    + ", CASE entry.action WHEN 'break' THEN entry.note ELSE '' END AS note"
)
"""The columns of an entry that ``next_state`` reads."""


@dataclass(frozen=True, slots=True)
class State:
    """A piece by its entries so far. ``harm`` was reported by ``reporters`` and is not cleared."""

    place_id: int | None = None
    condition: str = "retired"
    harm: str = ""
    reporters: frozenset[int] = frozenset()


def state_after(entries: Iterable[Mapping[str, Any] | Row]) -> State:
    """What effective entries make of a piece, in the order in which they were written."""
    state = State()
    for entry in entries:
        state = next_state(state, entry)
    return state


def next_state(state: State, entry: Mapping[str, Any] | Row) -> State:
    """What one more effective entry makes of a piece."""
    if entry["place_id"] is not None:
        state = replace(state, place_id=entry["place_id"])
    condition = entry["condition"]
    if condition is None:
        return state
    if condition == "broken":
        return _harmed(state, entry)
    if entry["action"] == "add" or condition not in USABLE:
        return replace(state, condition=condition)
    if not state.harm:
        return replace(state, condition=condition)
    if not _clears(state, entry):
        return replace(state, condition="broken")
    return replace(state, condition=condition, harm="", reporters=frozenset())


def read_state(session: Session, piece_id: int) -> State:
    """What a piece's effective entries make of it."""
    return state_after(
        session.rows(
            f"SELECT {STATE_COLUMNS} FROM entry"
            " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
            " WHERE entry.piece_id = ? AND counter.id IS NULL AND entry.action <> 'reverse'"
            " AND (entry.condition IS NOT NULL OR entry.place_id IS NOT NULL) ORDER BY entry.id",
            (piece_id,),
        )
    )


def gravity(harm: str) -> int:
    """How bad a damage is: 0 none, 1 may be ground out, 2 to be inspected, 3 for good."""
    return _GRAVITY.get(harm, 1)


def _harmed(state: State, entry: Mapping[str, Any] | Row) -> State:
    harm, reporters = _damage(entry), state.reporters
    if gravity(harm) <= gravity(state.harm):
        harm = state.harm
    if entry["action"] == "break":
        reporters |= {entry["person_id"]}
    return replace(state, condition="broken", harm=harm, reporters=reporters)


def _damage(entry: Mapping[str, Any] | Row) -> str:
    """What was reported; entries from before it was a subject begin their note with it."""
    said = damage_of(entry["subject"]) or entry["note"].partition(";")[0].strip()
    return said if said in DAMAGE else "broken"


def _clears(state: State, entry: Mapping[str, Any] | Row) -> bool:
    action, condition = entry["action"], entry["condition"]
    if state.harm in FOR_GOOD or condition == "inspect":
        return False
    if state.harm == "cracked":
        return action == "look" and entry["person_id"] not in state.reporters
    return action in _CLEARED_BY
