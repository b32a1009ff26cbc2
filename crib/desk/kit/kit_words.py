"""What is typed of a kit: a job's name, the counts of its pieces, or the tags of what was lent."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from crib.acts import act, saying
from crib.desk.kit.take_back import KitBack, TakeBack, take_back, take_loans_back
from crib.errors import BadValue
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import job_row
from crib.stock.queries.pieces import pieces_meant
from crib.stock.queries.tags import with_joined_tags


def job_named(words: Sequence[str]) -> str:
    """The job that some words name; a name may be of several.

    Raises:
        BadValue: for a count among them.
    """
    plain, counts = _apart(words)
    if counts:
        message = f"{counts[0][:40]} is a count"
        back = act("kit.back", job=" ".join(plain) or None, counts=counts[0])
        raise BadValue(
            message, way_out=saying("counts are said with ", back, ", or to ", act("log"))
        )
    return " ".join(plain)


def come_back(
    session: Session,
    words: Sequence[str],
    how: TakeBack,
    *,
    by: str = "",
    now: datetime | None = None,
) -> KitBack:
    """Take back what some words name: a job's kit with counts of its pieces, or lent pieces.

    Raises:
        BadValue: for counts without a job.
        BadInput: for what cannot be taken back.
    """
    plain, counts = _apart(words)
    if not plain:
        message, example = "which job's kit is back?", act("kit.back", job="24-118")
        raise BadValue(message, way_out=saying("such as ", example))
    job = " ".join(plain)
    if not counts and job_row(session, job) is None and _are_lent(session, plain):
        return take_loans_back(session, plain, how, by=by, now=now)
    return take_back(session, job, replace(how, counts=counts), by=by, now=now)


def _apart(words: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Plain words, and those that say a count."""
    counts = tuple(word for word in words if "=" in word)
    return tuple(word for word in words if "=" not in word), counts


def _are_lent(session: Session, tags: tuple[str, ...]) -> bool:
    """Whether the words are tags of the crib and not a job's name gone wrong."""
    return bool(pieces_meant(session, with_joined_tags(session, tags)))
