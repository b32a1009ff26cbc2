"""Let holds follow what is taken back: each is what the steps that still stand make of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from crib.errors import Refused
from crib.stock.book.subjects import HoldStep, hold_step_of
from crib.stock.engine.session import Session
from crib.stock.writers.holds import (
    ACTIVE,
    HoldCard,
    holds_of_pieces,
    put_state,
    steps_standing,
    steps_taken,
)

Steps = Sequence[tuple[int, HoldStep]]
"""Holds and their steps, in the order in which they were written."""


def follow_undo(session: Session, entry_ids: Sequence[int]) -> None:
    """Let holds follow entries that were taken back: what came back is out again, and so on.

    A piece is out for the hold whose handing out is the last step that stands; an older hold is
    history, whatever of it is taken back.

    Raises:
        Refused: for a return after which the piece was promised or given to another.
    """
    taken = steps_taken(session, entry_ids)
    pieces = {piece_id for piece_id, _subject in taken}
    touched = dict(_read(subject for _piece_id, subject in taken))
    standing = steps_standing(session, pieces) if pieces else {}
    wanted: dict[int, str] = {}
    for piece_id, own in _by_piece(holds_of_pieces(session, pieces)).items():
        _must_not_be_given_on(own, touched)
        wanted |= _states(own, tuple(_read(standing.get(piece_id, ()))), touched)
    put_state(session, wanted)


def _read(subjects: Iterator[str] | Sequence[str]) -> Iterator[tuple[int, HoldStep]]:
    for subject in subjects:
        step = hold_step_of(subject)
        if step is not None:
            yield step


def _by_piece(holds: Sequence[HoldCard]) -> dict[int, list[HoldCard]]:
    found: dict[int, list[HoldCard]] = {}
    for hold in holds:
        found.setdefault(hold.piece_id, []).append(hold)
    return found


def _must_not_be_given_on(own: Sequence[HoldCard], touched: Mapping[int, HoldStep]) -> None:
    """Refuse to take the end of a hold back while a later one has the piece."""
    active = next((hold for hold in own if hold.state in ACTIVE), None)
    ended = [hold_id for hold_id, step in touched.items() if step != "out"]
    if active and any(hold.id in ended and hold.id != active.id for hold in own):
        message = f"{active.tag} is {active.words} since it came back"
        way_out = "release or take back that first; strokes alone go by their entry numbers"
        raise Refused(message, way_out=way_out)


def _states(
    own: Sequence[HoldCard], steps: Steps, touched: Mapping[int, HoldStep]
) -> Iterator[tuple[int, str]]:
    """The holds of a piece whose state changes; one that was let go stays so unless touched.

    So does one whose steps an older crib did not write down. A piece that is out, or promised by a
    newer hold, is not promised by an older one.
    """
    last = dict(steps)
    out_for = steps[-1][0] if steps and steps[-1][1] == "out" else None
    is_free = out_for is None
    for hold in reversed(own):
        if hold.id in touched or (hold.id in last and hold.state != "released"):
            state = _state(hold, last.get(hold.id), is_out=hold.id == out_for, is_free=is_free)
        else:
            state = hold.state
        is_free = is_free and state not in ACTIVE
        if state != hold.state:
            yield hold.id, state


def _state(hold: HoldCard, last: HoldStep | None, *, is_out: bool, is_free: bool) -> str:
    """What a hold's own last step makes of it; a loan that did not go out is no loan."""
    if last is None:
        return "held" if hold.job_open and is_free else "released"
    if last == "out":
        return "out" if is_out else "back"
    return "back" if last == "back" else "released"
