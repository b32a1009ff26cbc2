"""Pieces promised to jobs, handed out and lent: who has what until when.

A hold is ``held`` (promised), ``out`` (handed out), ``back`` or ``released``. At most one hold of a
piece is held or out at a time; the table itself sees to that.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from crib.stock.engine.in_lists import in_lists
from crib.stock.engine.session import Session

if TYPE_CHECKING:
    from crib.stock.book.ledger import Stamp

_HOLDS = """
    SELECT hold.id, hold.job_id, job.name AS job, job.due_on, job.open AS job_open,
        hold.piece_id, piece.tag, piece.kind_id, kind.name AS kind, piece.condition,
        place.name AS place, place.sort AS place_sort, hold.spare, hold.state, hold.holder,
        hold.out_on, hold.due_back, hold.back_on, hold.made_at, place.site_id
    FROM hold JOIN piece ON piece.id = hold.piece_id JOIN kind ON kind.id = piece.kind_id
    LEFT JOIN job ON job.id = hold.job_id LEFT JOIN place ON place.id = piece.place_id
"""
ACTIVE = ("held", "out")
_ACTIVE = "hold.state IN ('held', 'out')"
"""Written as in the table's partial index, so that only active holds are read."""


@dataclass(frozen=True, slots=True)
class HoldCard:
    """One hold. ``job`` is None for a loan; ``place`` is where the piece is on record."""

    id: int
    job_id: int | None
    job: str | None
    due_on: str
    job_open: bool
    piece_id: int
    tag: str
    kind_id: int
    kind: str
    condition: str
    place: str | None
    place_sort: str | None
    spare: bool
    state: str
    holder: str
    out_on: str
    due_back: str
    back_on: str
    made_at: str
    site_id: int | None = None

    @property
    def words(self) -> str:
        """Who has the piece and until when, to stand behind its tag."""
        whose = f"job {self.job}" if self.job else ""
        if self.state == "held":
            due = f", due {self.due_on}" if self.due_on else ""
            return f"promised to {whose}{due}"
        until = f" until {self.due_back}" if self.due_back else ""
        return f"out with {self.holder}{f' for {whose}' if whose else ''}{until}"


def active_holds(session: Session) -> list[HoldCard]:
    """Everything that is promised or out, job by job, loans last."""
    return _cards(
        session,
        f"{_ACTIVE} ORDER BY job.name IS NULL, job.due_on = '', job.due_on,"
        " lower(job.name), hold.state, piece.tag",
    )


def holds_of_job(session: Session, job_id: int) -> list[HoldCard]:
    """Every hold that a job had, the oldest first."""
    return _cards(session, "hold.job_id = ? ORDER BY hold.id", (job_id,))


def hold_of_pieces(session: Session, piece_ids: Iterable[int]) -> dict[int, HoldCard]:
    """The active hold of each of some pieces that has one, by piece."""
    return {
        card.piece_id: card
        for marks, some in in_lists(piece_ids)
        for card in _cards(session, f"{_ACTIVE} AND hold.piece_id IN {marks}", some)
    }


def tags_held_for_others(holds: Iterable[HoldCard], job: str) -> dict[str, str]:
    """Tags that are promised or out to others than the job of this name, with the words for it."""
    own = " ".join(job.split()).casefold()
    return {hold.tag: hold.words for hold in holds if not own or (hold.job or "").casefold() != own}


def late_holds(session: Session, today: str) -> list[HoldCard]:
    """What is out and should have been back before a day, the latest first."""
    return _cards(
        session,
        f"{_ACTIVE} AND hold.state = 'out' AND hold.due_back <> '' AND hold.due_back < ?"
        " ORDER BY hold.due_back, hold.holder, piece.tag",
        (today,),
    )


def promise(
    session: Session, stamp: Stamp, job_id: int | None, piece_ids: Sequence[int], *, spare: bool
) -> None:
    """Promise pieces that nobody has; the table refuses one that somebody has."""
    session.insert_many(
        "hold",
        ("job_id", "piece_id", "spare", "person_id", "made_at"),
        [(job_id, one, spare, stamp.person_id, stamp.made_at) for one in piece_ids],
    )


def mark_out(
    session: Session, hold_ids: Sequence[int], holder: str, out_on: str, due_back: str
) -> None:
    """Mark promised pieces handed out."""
    session.run_many(
        "UPDATE hold SET state = 'out', holder = ?, out_on = ?, due_back = ?"
        " WHERE id = ? AND state = 'held'",
        [(holder, out_on, due_back, one) for one in hold_ids],
    )


def mark_back(session: Session, hold_ids: Sequence[int], back_on: str) -> None:
    """Mark pieces that were out as back."""
    session.run_many(
        "UPDATE hold SET state = 'back', back_on = ? WHERE id = ? AND state = 'out'",
        [(back_on, one) for one in hold_ids],
    )


def mark_released(session: Session, hold_ids: Sequence[int]) -> None:
    """Let pieces go that are not needed, or will not come back."""
    session.run_many(
        f"UPDATE hold SET state = 'released' WHERE id = ? AND {_ACTIVE}",
        [(one,) for one in hold_ids],
    )


def mark_needed(session: Session, hold_id: int) -> None:
    """Make a spare the piece that does the work."""
    session.run("UPDATE hold SET spare = FALSE WHERE id = ?", (hold_id,))


def holds_of_pieces(session: Session, piece_ids: Iterable[int]) -> list[HoldCard]:
    """Every hold that some pieces ever had, the oldest first."""
    return [
        card
        for marks, some in in_lists(piece_ids)
        for card in _cards(session, f"hold.piece_id IN {marks} ORDER BY hold.id", some)
    ]


def steps_taken(session: Session, entry_ids: Iterable[int]) -> list[tuple[int, str]]:
    """Pieces and subjects of the steps of holds among some entries."""
    return [
        (int(row["piece_id"]), str(row["subject"]))
        for marks, some in in_lists(entry_ids)
        for row in session.rows(
            "SELECT piece_id, subject FROM entry"
            f" WHERE id IN {marks} AND action = 'move' AND subject LIKE 'hold %'",
            some,
        )
    ]


def steps_standing(session: Session, piece_ids: Iterable[int]) -> dict[int, list[str]]:
    """The subjects of the steps of each piece's holds that hold, as they were written."""
    steps: dict[int, list[str]] = {}
    for marks, some in in_lists(piece_ids):
        for piece_id, subject in session.rows(
            "SELECT entry.piece_id, entry.subject FROM entry"
            " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
            f" WHERE entry.piece_id IN {marks} AND entry.action = 'move'"
            " AND entry.subject LIKE 'hold %' AND counter.id IS NULL ORDER BY entry.id",
            some,
        ):
            steps.setdefault(int(piece_id), []).append(str(subject))
    return steps


def put_state(session: Session, states: Mapping[int, str]) -> None:
    """Bring holds to the state that the ledger tells; what they were out for goes with it."""
    session.run_many(
        "UPDATE hold SET state = ?, back_on = CASE WHEN ? IN ('back', 'released') THEN back_on"
        " ELSE '' END, holder = CASE WHEN ? = 'held' THEN '' ELSE holder END,"
        " out_on = CASE WHEN ? = 'held' THEN '' ELSE out_on END,"
        " due_back = CASE WHEN ? = 'held' THEN '' ELSE due_back END WHERE id = ?",
        # What ends goes first: a piece has one hold at a time in between, too.
        [
            (*[state] * 5, hold_id)
            for hold_id, state in sorted(states.items(), key=lambda one: one[1] in ACTIVE)
        ],
    )


def _cards(session: Session, where: str, values: Sequence[Any] = ()) -> list[HoldCard]:
    rows = session.rows(f"{_HOLDS} WHERE {where}", values)
    return [
        HoldCard(
            **{
                **dict(row),
                "due_on": row["due_on"] or "",
                "job_open": bool(row["job_open"]),
                "spare": bool(row["spare"]),
            }
        )
        for row in rows
    ]
