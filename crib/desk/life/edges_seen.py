"""The edges that the ledger knows of: how much each did, and how it was found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from crib.stock.engine.session import Session
from crib.stock.queries.edge_ends import EdgeMark, WorkedPiece, edge_marks
from crib.trade.life.edge_life import Observation, Outcome
from crib.trade.life.silence import Silence

OUTCOMES: dict[str, Outcome] = {
    "sharp": "right",
    "right": "dull",
    "overdue": "left",
    "chipped": "right",
}
_RUNNING = ("9999", 0)


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge, from one grind or turn to the next. ``ended`` is its day and entry, for order.

    ``interval`` is what the shop expects of its kind; ``known_for`` how far it is known how sharp
    it was, which is less than it ``worked`` when nobody looked. All are weighted strokes. ``told``
    says that somebody saw how it was: at its end, which ``said`` says, or when it was looked at and
    found sharp.
    """

    kind_id: int
    ended: tuple[str, int]
    interval: float
    known_for: float
    worked: float
    outcome: Outcome
    broken: bool
    told: bool = True
    said: bool = True

    @property
    def is_running(self) -> bool:
        """Whether it is in use still."""
        return self.ended == _RUNNING

    def dulling(self, interval: float) -> Observation:
        """What the edge teaches a kind that is to last ``interval``: the same share of it."""
        return Observation(self.known_for * interval / self.interval, self.outcome, self.broken)

    def breaking(self) -> Observation:
        """What it teaches of breakage, which has nothing to do with an interval."""
        return Observation(self.worked, self.outcome, self.broken)


Known = dict[int, list[Edge]]
"""The edges of pieces that were read already, so that many kinds read each piece once."""


def silence_of(edges: Iterable[Edge]) -> Silence:
    """The edges of a kind ground without a word and never looked at, beside those told of."""
    ended = [edge for edge in edges if not edge.is_running and not edge.broken]
    silent = [edge for edge in ended if not edge.told]
    told = [edge for edge in ended if edge.said]
    return Silence(
        strokes=tuple(edge.worked for edge in silent),
        sharp=sum(edge.outcome == "right" for edge in told),
        dull=sum(edge.outcome != "right" for edge in told),
    )


def edges_of(
    session: Session, pieces: Sequence[WorkedPiece], usual: float, known: Known | None = None
) -> list[Edge]:
    """Every edge of some pieces that worked, the oldest first."""
    known = {} if known is None else known
    new = [piece for piece in pieces if piece.id not in known]
    marks: dict[int, list[EdgeMark]] = {one.id: [] for one in new}
    for mark in edge_marks(session, list(marks)):
        marks[mark.piece_id].append(mark)
    for one in new:
        known[one.id] = list(_of_piece(one, marks[one.id], usual))
    found = [edge for piece in pieces for edge in known[piece.id]]
    return sorted(found, key=lambda edge: edge.ended)


def _of_piece(piece: WorkedPiece, marks: Sequence[EdgeMark], usual: float) -> Iterator[Edge]:
    interval = float(piece.interval_strokes or usual)
    begun_milli, sharp_at, whole = 0, 0.0, True
    for mark in marks:
        wear = (mark.total_milli - begun_milli) / 1000
        if mark.action == "look":
            sharp_at = wear if mark.found == "sharp" else sharp_at
            continue
        # A lost piece is no breakage, and goes on when it is found again.
        if mark.action == "break" and mark.condition != "broken":
            continue
        if whole and wear > 0:
            yield _ended(piece.kind_id, mark, interval, wear, sharp_at)
        whole = mark.action != "break"
        begun_milli, sharp_at = mark.total_milli, 0.0
    wear = piece.wear_milli / 1000
    if whole and wear > 0:
        told = sharp_at > 0
        yield Edge(piece.kind_id, _RUNNING, interval, sharp_at, wear, "right", False, told)


def _ended(kind_id: int, mark: EdgeMark, interval: float, wear: float, sharp_at: float) -> Edge:
    """An edge that was ground away, turned away from, or broken.

    Of one that was ground without a word nobody knows more than when it was last looked at. What
    silence says of it depends on what the shop tells of: ``trade.life.silence``.
    """
    ended = (mark.shift_on, mark.id)
    if mark.found is None and mark.action != "break":
        told = sharp_at > 0
        return Edge(kind_id, ended, interval, sharp_at, wear, "right", False, told, said=False)
    broken = mark.action == "break"
    outcome = "right" if broken else OUTCOMES[mark.found or ""]
    broken = broken or mark.found == "chipped"
    return Edge(kind_id, ended, interval, wear, wear, outcome, broken)
