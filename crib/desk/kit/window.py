"""What can be asked of a kit, sorted out: the job or the tags, and one thing to do."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from crib.acts import Confirmed, Wording, act, saying
from crib.desk.kit.hand_out import HandOut, hand_out, lend
from crib.desk.kit.hold import hold_kit, release_kit
from crib.desk.kit.job_kit import HeldList, Kit, list_held, show_kit
from crib.desk.kit.kit_paper import draw_kit
from crib.desk.kit.take_back import KitBack, TakeBack, take_back, take_loans_back
from crib.errors import BadValue
from crib.files.common.whole_file import require_free
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import job_row
from crib.stock.queries.pieces import pieces_meant
from crib.stock.queries.tags import with_joined_tags


@dataclass(frozen=True, slots=True)
class KitRequest:
    """The words, what to do (each a flag of the command), and how."""

    words: tuple[str, ...] = ()
    do: tuple[str, ...] = ()
    to: str = ""
    until: str = ""
    spares: bool = True
    strokes: bool = True
    new_place: bool = False
    confirmed: Confirmed = frozenset()
    draw: str = ""
    on: str = ""
    by: str = ""
    worded: Wording = str

    @property
    def hand(self) -> HandOut:
        """Who takes it."""
        return HandOut(self.to, self.until, self.new_place, self.spares)

    def back(self, counts: tuple[str, ...]) -> TakeBack:
        """How it comes back."""
        return TakeBack(counts, self.to, self.strokes, self.on, self.confirmed)


def answer_kit(
    session: Session, request: KitRequest, now: datetime | None = None
) -> Kit | KitBack | HeldList:
    """Do what was asked of a kit, or show it.

    Raises:
        BadValue: for two things to do at once, or one without a job.
        BadInput: for anything that cannot be done.
    """
    if len(request.do) > 1:
        message = f"{' and '.join(request.do)} cannot be done at once"
        raise BadValue(message, way_out="say one of them")
    do = request.do[0] if request.do else ""
    if request.draw and do not in ("", "hold", "out"):
        message = f"a kit list on paper does not go with {do}"
        raise BadValue(message, way_out="draw the kit when it is promised or handed out")
    if do == "late" or (not do and not request.words and not request.draw):
        return list_held(session, late=do == "late", now=now)
    counts = tuple(word for word in request.words if "=" in word)
    plain = tuple(word for word in request.words if "=" not in word)
    if not plain:
        message = f"{do or 'draw'} the kit of which job?"
        raise BadValue(message, way_out=saying("such as ", act("kit.hold", job="24-118")))
    if do == "lend":
        return lend(session, request.words, request.hand, by=request.by, now=now)
    job = " ".join(plain)
    if do == "back":
        if not counts and job_row(session, job) is None and _are_lent(session, plain):
            return take_loans_back(session, plain, request.back(()), by=request.by, now=now)
        return take_back(session, job, request.back(counts), by=request.by, now=now)
    if counts:
        message = f"{counts[0][:40]} is a count"
        back = saying("counts are said with ", act("say.back"))
        raise BadValue(message, way_out=saying(back, ", or to ", act("log")))
    return _of_job(session, job, do, request, now)


def _of_job(session: Session, job: str, do: str, request: KitRequest, now: datetime | None) -> Kit:
    if do == "release":
        return release_kit(session, job)
    paper = Path(request.draw) if request.draw else None
    if paper is not None and do:
        require_free(paper)
    kit = None
    if do == "hold":
        kit = hold_kit(session, job, spares=request.spares, by=request.by, now=now)
    elif do == "out":
        kit = hand_out(session, job, request.hand, by=request.by, now=now)
    if paper is None:
        return kit or show_kit(session, job)
    drawn = draw_kit(session, job, paper, now=now, worded=request.worded)
    return replace(kit, done=f"{kit.done}; {drawn.done}") if kit else drawn


def _are_lent(session: Session, tags: tuple[str, ...]) -> bool:
    """Whether the words are tags of the crib and not a job's name gone wrong."""
    return bool(pieces_meant(session, with_joined_tags(session, tags)))
