"""One chunk of the audit: worlds made from a seed, asks put to each, every pick reckoned again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from random import Random

from crib.desk.answer.find import Found, find, find_each, pick_json
from crib.desk.answer.lookup import Lookup
from crib.desk.answer.rank import Candidate
from crib.errors import CribError
from crib.features.common.case import Circumstances
from crib.features.holes.punched import Punched
from crib.stock.engine.session import Session
from tests.audit.asks import SHOPS, AuditAsk, random_ask
from tests.audit.checks import Taken, piece_faults, seat_faults, station_faults, taken
from tests.audit.hidden import hidden_pairs
from tests.audit.mutations import mutate
from tests.audit.others import bend_faults, cut_faults, point_faults, saddle_faults, set_faults
from tests.audit.punched import punched_faults
from tests.audit.stacks import is_mixed
from tests.audit.world import Row, World, read_world
from tests.demo_crib import demo_crib

EACH_WORLD = 50
ONE_BY_ONE = 5
"""So many of the asks of a world go through ``find`` itself, the others together."""


@dataclass
class Audit:
    """What was asked and looked at, and what was wrong, each with its ask."""

    asks: int = 0
    served: int = 0
    unserved: int = 0
    picks: int = 0
    faults: list[str] = field(default_factory=list)


def run_chunk(folder: Path, system: str, chunk: int, asks: int) -> Audit:
    """Put so many asks to cribs that a seed of the chunk makes."""
    audit, random = Audit(), Random(f"{system} {chunk}")
    for number in range(asks // EACH_WORLD):
        path = folder / f"{system}-{number}.crib"
        session = demo_crib(path, metric=system == "mm")
        try:
            _audit_world(session, system, random, audit)
        finally:
            session.close()
        for left in folder.glob(f"{path.name}*"):
            left.unlink()
    return audit


def _audit_world(session: Session, system: str, random: Random, audit: Audit) -> None:
    mutate(session, random)
    world = read_world(session)
    asks = [random_ask(random, SHOPS[system]) for _number in range(EACH_WORLD)]
    together = [(ask.phrase, Circumstances(**ask.facts)) for ask in asks[ONE_BY_ONE:]]
    found: list[Found | CribError] = [_one(session, ask) for ask in asks[:ONE_BY_ONE]]
    found += find_each(Lookup(session), together)
    for ask, answer in zip(asks, found, strict=True):
        audit.asks += 1
        if isinstance(answer, CribError):
            audit.faults.append(f"{ask.phrase}: not read: {answer.message}")
            continue
        audit.served += answer.serves
        if ask.sort == "punch" and not answer.serves:
            audit.unserved += 1
            hidden = islice(hidden_pairs(ask, world, system), 1)
            audit.faults += [f"{ask.phrase} {ask.facts}: {one}" for one in hidden]
        audit.faults += [f"{ask.phrase}: {fault}" for fault in _order_faults(answer, world)]
        for pick in answer.picks:
            audit.picks += 1
            said = said_of(pick)
            tags = " ".join(piece["tag"] for piece in said["pieces"])
            told = pick_faults(ask, said, world, system)
            audit.faults += [f"{ask.phrase} {ask.facts}: {tags}: {fault}" for fault in told]


def _order_faults(answer: Found, world: World) -> Iterator[str]:
    """A pair of two sets never stands before one of one set."""
    mixed = [_is_mixed(pick_json(pick), world) for pick in answer.picks]
    if mixed != sorted(mixed):
        yield "a mixed pair before a matched one"


def _is_mixed(pick: Row, world: World) -> bool:
    of = {one["role"]: world.pieces[one["tag"]] for one in pick["pieces"]}
    return any(
        is_mixed(of[punch], of[die])
        for punch, die in (("punch", "die"), ("second punch", "second die"))
        if punch in of and die in of
    )


def _one(session: Session, ask: AuditAsk) -> Found | CribError:
    try:
        return find(session, ask.phrase, Circumstances(**ask.facts), record=False)
    except CribError as error:
        return error


def said_of(pick: Candidate) -> Row:
    """A pick as programs get it, and the sizes of the punches that the hits of a plan are for."""
    said: Row = pick_json(pick)
    if pick.plan and pick.tooling.tool("punch"):
        outlines = [ask.outline for ask in pick.plan.asks if isinstance(ask, Punched)]
        said["plan"]["sizes"] = [(one.width_mm, one.length_mm) for one in outlines]
    return said


def pick_faults(ask: AuditAsk, pick: Row, world: World, system: str) -> Iterator[str]:
    """Everything that is wrong with one pick."""
    one = taken(pick, world)
    if any(finding["verdict"] == "refuse" for finding in pick["findings"]):
        yield "a pick that a rule refuses"
    yield from station_faults(ask, one)
    yield from piece_faults(ask, one)
    yield from seat_faults(one)
    yield from _of_sort(ask, one, world, system)


def _of_sort(ask: AuditAsk, one: Taken, world: World, system: str) -> Iterator[str]:
    if ask.sort == "punch":
        return punched_faults(ask, one, system)
    if ask.sort == "set":
        return set_faults(ask, one, world)
    if ask.sort == "cut":
        return cut_faults(ask, one, world)
    if ask.sort == "bend":
        return bend_faults(ask, one, world)
    return saddle_faults(ask, one) if ask.sort == "saddle" else point_faults(ask, one, world)
