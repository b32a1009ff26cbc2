"""Promise a job its pieces, all or none; and let go of what was promised."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from crib.acts import act, saying
from crib.desk.common.acting import stamp_for
from crib.desk.kit.choices import KitChoice, choose
from crib.desk.kit.handing import counted
from crib.desk.kit.job_kit import Kit, Swap, kit_from, remedy_of, show_kit, trouble_of
from crib.desk.kit.kit_paper import NO_PAPER, KitPaper, with_list
from crib.desk.kit.wishes import Wishes, read_wishes
from crib.errors import Refused
from crib.stock.book.ledger import Stamp
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import JobCard, job_called
from crib.stock.writers.holds import holds_of_job, mark_needed, mark_released, promise
from crib.stock.writers.keep_kits import repoint_runs

_ROUNDS = 5
"""A copy that is taken instead is free and sound, so one round is enough; more are a fault."""


def hold_kit(
    session: Session,
    job: str,
    *,
    spares: bool = True,
    by: str = "",
    now: datetime | None = None,
    paper: KitPaper = NO_PAPER,
) -> Kit:
    """Promise a job every piece of its kit that it does not have yet, and draw its list.

    Raises:
        UnknownName: when no job is called so.
        Refused: when another has a piece of which no other copy is free, for a closed job, and
            where the list should go if something is there already.
    """
    paper.require_free()
    with session.writing():
        tags, swaps = promise_kit(session, stamp_for(session, by, now=now), job, spares=spares)
        kit = show_kit(session, job)
    done = f"promised {counted(len(tags))} to job {kit.job}" if tags else "nothing new to promise"
    return with_list(replace(kit, done=done, tags=tuple(tags), swaps=tuple(swaps)), paper, now)


def promise_kit(
    session: Session, stamp: Stamp, job: str, *, spares: bool
) -> tuple[list[str], list[Swap]]:
    """Promise what is not promised yet; returns the tags and which copies were taken instead.

    Raises:
        Refused: when a piece cannot be had and no copy is free. Stands inside a transaction.
    """
    _require_open(job_called(session, job))
    wishes, swaps = _settled(session, job)
    choices = choose(session, wishes, spares=spares)
    _let_go(session, wishes)
    tags = []
    for spare in (False, True):
        new = [
            choice for choice in choices if choice.own is None and bool(choice.spare_for) == spare
        ]
        promise(session, stamp, wishes.job.id, [choice.card.id for choice in new], spare=spare)
        tags += [choice.card.tag for choice in new]
    return tags, swaps


def _settled(session: Session, job: str) -> tuple[Wishes, list[Swap]]:
    """The job's wishes once every piece that will not do has given its work to a copy."""
    swaps: list[Swap] = []
    for _round in range(_ROUNDS):
        wishes = read_wishes(session, job)
        if not wishes.runs:
            message = f"job {wishes.job.name} has no planned run that is not done"
            plan = act("plan.keep", job=wishes.job.name)
            raise Refused(message, way_out=saying("plan it: ", plan))
        blocked = [
            choice
            for choice in choose(session, wishes, spares=False)
            if choice.blocked and choice.runs
        ]
        if not blocked:
            return wishes, swaps
        _require_copies(blocked)
        swaps += [_take_instead(session, wishes, choice) for choice in blocked]
    message = f"job {job}: no set of free pieces was found in {_ROUNDS} rounds"
    raise Refused(message, way_out=saying(act("kit"), " lists who has what"))


def _require_copies(blocked: Sequence[KitChoice]) -> None:
    faults = [
        f"{choice.card.tag} is {trouble_of(choice)}" for choice in blocked if choice.instead is None
    ]
    if faults:
        message = f"{'; '.join(faults)}; and no other copy is free"
        looks = [
            saying(remedy, " when it is sound; ") for remedy in map(remedy_of, blocked) if remedy
        ]
        lists = (
            "wait for it or order one; ",
            act("kit"),
            " lists who has what. Nothing was promised",
        )
        raise Refused(message, way_out=saying(*looks, *lists))


def _take_instead(session: Session, wishes: Wishes, choice: KitChoice) -> Swap:
    """Point the job's runs to another copy of the same kind, and let go of the first."""
    assert choice.instead is not None
    repoint_runs(session, wishes.job.id, choice.card.id, choice.instead.id)
    if choice.own is not None and choice.own.state == "held":
        mark_released(session, [choice.own.id])
    stepped_in = wishes.own.get(choice.instead.id)
    if stepped_in is not None:
        mark_needed(session, stepped_in.id)
    return Swap(choice.instead.tag, choice.card.tag, f"{choice.card.tag} is {trouble_of(choice)}")


def _let_go(session: Session, wishes: Wishes) -> None:
    """Release what was promised for an earlier plan and no run wants any more."""
    kinds = {wishes.cards[key].kind_id for key in wishes.wants}
    stale = [
        hold.id
        for key, hold in wishes.own.items()
        if hold.state == "held"
        and key not in wishes.wants
        and not (hold.spare and hold.kind_id in kinds)
    ]
    mark_released(session, stale)


def release_kit(session: Session, job: str) -> Kit:
    """Let go of what is only promised to a job; what is out stays out until it is back.

    Raises:
        UnknownName: when no job is called so.
        Refused: when nothing is promised to it.
    """
    with session.writing():
        card = job_called(session, job)
        holds = holds_of_job(session, card.id)
        held = [hold for hold in holds if hold.state == "held"]
        out = sum(hold.state == "out" for hold in holds)
        if not held:
            message = f"nothing is promised to job {card.name}"
            back = saying(f"out: {counted(out)}; ", act("kit.back", job=card.name))
            raise Refused(message, way_out=back if out else "nothing to do")
        mark_released(session, [hold.id for hold in held])
        kit = kit_from(session, read_wishes(session, job))
    still = f"; still out: {out}" if out else ""
    done = f"released {counted(len(held))}{still}"
    return replace(kit, done=done, tags=tuple(hold.tag for hold in held))


def _require_open(job: JobCard) -> None:
    if not job.open:
        message = f"job {job.name} was closed on {job.closed_on or 'an earlier day'}"
        raise Refused(message, way_out="plan the work under a new name")
