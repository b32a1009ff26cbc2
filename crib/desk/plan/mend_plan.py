"""A kept plan after something broke: what still stands of it, and what is left to be planned.

A run whose pieces are all fit stands as it is, done or not. Of a run that lost a piece what is made
stands, and the rest is planned anew; so are features that no run was planned for.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from crib.features.common.pair_wear import on_role
from crib.stock.engine.session import Session
from crib.stock.queries.jobs import JobCard, JobLineRow, RunCard
from crib.stock.queries.pieces import PieceCard, pieces_by_ids
from crib.stock.writers.holds import HoldCard
from crib.stock.writers.keep_jobs import NewRun
from crib.trade.shop.shop_rules import Rules
from crib.words import AWAY

_Feature = tuple[str, str]
"""A mark and a phrase: what a line asks for, and what its runs are for."""


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """What stands of a kept plan. ``lines`` are the whole job's, ``rest`` what is to be planned.

    ``runs`` stand as they are. ``made`` is what was made of runs that lost a piece, each with its
    place in the plan; ``lost`` are the pieces that they lost, each with what is wrong with it,
    ``fit`` the other pieces of the plan: what is planned anew takes those first.
    """

    lines: tuple[JobLineRow, ...]
    rest: tuple[JobLineRow, ...]
    runs: tuple[RunCard, ...]
    made: tuple[RunCard, ...]
    lost: tuple[tuple[str, str], ...]
    fit: tuple[PieceCard, ...]
    at: Mapping[_Feature, int]

    def joined(self, new: Sequence[NewRun]) -> list[NewRun]:
        """The whole plan: each new run where the one stood that it is for, else at the end."""
        placed = [(run.sequence, 0, _again(run)) for run in (*self.runs, *self.made)]
        end = max((run.sequence for run in (*self.runs, *self.made)), default=0) + len(self.at) + 1
        placed += [(self.at.get((run.mark, run.phrase), end), 1, run) for run in new]
        return [run for _sequence, _new, run in sorted(placed, key=lambda one: one[:2])]

    def still_to_come(self, rules: Rules) -> dict[str, float]:
        """Weighted strokes that the runs which stand will still put on each piece, by tag."""
        coming: dict[str, float] = {}
        for run in self.runs:
            left = (run.weighted_milli / 1000 or run.strokes) * run.left / run.strokes
            worn = dict.fromkeys((run.tag, *run.beside_tags), left)
            if run.die_tag:
                worn[run.die_tag] = on_role(left, "die", rules)
            for tag, weighted in worn.items():
                coming[tag] = coming.get(tag, 0.0) + weighted
        return coming

    @property
    def tags(self) -> set[str]:
        """The pieces of the runs that stand."""
        return {
            tag for run in self.runs for tag in (run.tag, run.with_tag, *run.beside_tags) if tag
        }


def what_stands(
    session: Session,
    lines: Sequence[JobLineRow],
    runs: Sequence[RunCard],
    holds: Sequence[HoldCard],
    job: JobCard,
) -> KeptPlan:
    """What stands of a job's kept plan, now."""
    wanted = {piece_id for run in runs for piece_id in run.piece_ids}
    cards = pieces_by_ids(session, wanted)
    held = {hold.piece_id: hold for hold in holds if hold.piece_id in wanted}
    unfit = {
        piece_id: words
        for piece_id, card in cards.items()
        if (words := _unfit(card, held.get(piece_id), job)) and not _comes(card, session)
    }
    touched = _touched(lines, runs, set(unfit))
    stand = [run for run in runs if run not in touched or run.left <= 0]
    made = [part for run in touched if run.left > 0 and (part := _made(run)) is not None]
    at: dict[_Feature, int] = {}
    for run in touched:
        at.setdefault((run.mark, run.phrase), run.sequence)
    lost = {cards[one].tag: unfit[one] for run in touched for one in run.piece_ids if one in unfit}
    return KeptPlan(
        tuple(lines),
        tuple(_rest(lines, runs, [*stand, *made])),
        tuple(stand),
        tuple(made),
        tuple(sorted(lost.items())),
        tuple(card for card in cards.values() if card.id not in unfit),
        at,
    )


def _comes(card: PieceCard, session: Session) -> bool:
    """Whether a piece that is away is on its way to the site where the job is made."""
    return card.condition == "sound" and card.to_site_id == session.site is not None


def _unfit(card: PieceCard, hold: HoldCard | None, job: JobCard) -> str:
    """What keeps a piece from its run; empty for nothing. What the job has out is its own."""
    own = hold is not None and hold.job_id == job.id
    if card.condition != "sound":
        return "to be inspected" if card.condition == "inspect" else card.condition
    if hold is not None and not own:
        return hold.words
    return f"at {card.place}" if card.place_sort in AWAY and not own else ""


def _touched(
    lines: Sequence[JobLineRow], runs: Sequence[RunCard], unfit: set[int]
) -> list[RunCard]:
    """The runs that lost a piece, and those that make the same features in other hits."""
    wanted, planned = _wanted(lines), _planned(runs)
    hit = {(run.mark, run.phrase) for run in runs if run.left > 0 and unfit & {*run.piece_ids}}
    together = {one for one in hit if planned[one] > wanted.get(one, 0)}
    return [
        run
        for run in runs
        if (run.mark, run.phrase) in together or (run.left > 0 and unfit & {*run.piece_ids})
    ]


def _made(run: RunCard) -> RunCard | None:
    """What is made of a run, as a run that is done; None where nothing is."""
    if run.logged <= 0:
        return None
    quantity = max(run.quantity * run.logged // run.strokes, 1)
    weighted = run.weighted_milli * run.logged // run.strokes
    return replace(run, quantity=quantity, strokes=run.logged, weighted_milli=weighted)


def _wanted(lines: Sequence[JobLineRow]) -> Counter[_Feature]:
    wanted: Counter[_Feature] = Counter()
    for line in lines:
        wanted[line.mark[:60], line.phrase] += line.quantity
    return wanted


def _planned(runs: Sequence[RunCard]) -> Counter[_Feature]:
    planned: Counter[_Feature] = Counter()
    for run in runs:
        planned[run.mark, run.phrase] += run.quantity
    return planned


def _rest(
    lines: Sequence[JobLineRow], before: Sequence[RunCard], now: Sequence[RunCard]
) -> Iterator[JobLineRow]:
    """The lines less what runs are planned or made for, now.

    A feature that is made in hits of two sizes had two runs before: half of them are half of it.
    """
    wanted, planned, covered = _wanted(lines), _planned(before), _planned(now)
    for feature, quantity in planned.items():
        if quantity > wanted[feature]:
            covered[feature] = covered[feature] * wanted[feature] // quantity
    for line in lines:
        key = (line.mark[:60], line.phrase)
        taken = min(line.quantity, covered[key])
        covered[key] -= taken
        if taken < line.quantity:
            yield replace(line, quantity=line.quantity - taken)


def _again(run: RunCard) -> NewRun:
    """A run to be kept once more as it is."""
    return NewRun(
        station_id=run.station_id,
        piece_id=run.piece_id,
        with_piece_id=run.with_piece_id,
        mark=run.mark,
        phrase=run.phrase,
        material=run.material,
        thickness_mm=run.thickness_mm,
        quantity=run.quantity,
        strokes=run.strokes,
        weighted_milli=run.weighted_milli,
        beside=tuple(piece.id for piece in run.beside),
    )
