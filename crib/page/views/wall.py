"""The board for a screen on the wall: today's kits, what is due, what is out and late."""

from __future__ import annotations

from crib.desk.edges.due import DueRequest, list_due
from crib.desk.kit.job_kit import HeldPiece, list_held
from crib.desk.kit.open_jobs import list_jobs
from crib.page.frame.reply import Reply, Shown, View
from crib.page.frame.request import PageRequest

MOST_LINES = 8


def wall(asked: PageRequest) -> Reply:
    """Three short lists that a person reads from across the shop."""
    jobs = list_jobs(asked.session, asked.now).jobs
    due = list_due(asked.session, DueRequest())
    held = list_held(asked.session)
    out = _by_holder([piece for piece in held.pieces if piece.state == "out"])
    values = {"jobs": jobs[:MOST_LINES], "more_jobs": len(jobs[MOST_LINES:])}
    values |= {"due": due.lines[:MOST_LINES], "more_due": len(due.lines[MOST_LINES:]) + due.more}
    values |= {"out": out, "now": asked.now}
    return Shown("wall", values, {"jobs": jobs, "due": due, "out": held})


def _by_holder(pieces: list[HeldPiece]) -> list[tuple[str, int, list[HeldPiece]]]:
    """Who has what, the latest first: the holder, the days late, the pieces."""
    holders: dict[str, list[HeldPiece]] = {}
    for piece in pieces:
        holders.setdefault(piece.holder, []).append(piece)
    latest = {name: max(one.days_late for one in some) for name, some in holders.items()}
    order = sorted(holders, key=lambda name: (-latest[name], name))
    return [(name, latest[name], holders[name]) for name in order]


VIEWS = (View("/wall", wall),)
