"""The strokes of a kit that comes back: as planned, or as somebody counted them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from crib.acts import Said, act, saying
from crib.desk.strokes.log_book import StrokeLine
from crib.desk.strokes.weigh import Work
from crib.errors import BadPhrase, Refused
from crib.stock.queries.jobs import RunCard
from crib.stock.queries.pieces import PieceCard
from crib.stock.queries.tags import meant_among
from crib.trade.shop.shop_rules import Rules

AS_PLANNED = "as planned"
_COUNT = re.compile(r"([^=]+)=([0-9]{1,9})")
_ENDED = ("broken", "lost", "retired")


def read_counts(words: Sequence[str]) -> dict[str, int]:
    """What was typed as TAG=COUNT, by tag.

    Raises:
        BadPhrase: for a word that is not so.
        Refused: for a tag that stands twice.
    """
    counts: dict[str, int] = {}
    for word in words:
        read = _COUNT.fullmatch(word.strip())
        if read is None:
            message = f"{word[:40]!r} is not a tag with its count"
            right = saying("right: ", act("kit.back", job="24-118", counts="P-0137=380"))
            raise BadPhrase(message, text=word, start=0, end=len(word), way_out=right)
        _count_once(counts, read[1].strip().upper(), int(read[2]))
    return counts


def _count_once(counts: dict[str, int], tag: str, count: int) -> None:
    if tag in counts:
        message = f"{tag} stands twice: {counts[tag]} and {count}"
        raise Refused(message, way_out="say the total once")
    counts[tag] = count


@dataclass
class KitStrokes:
    """Spreads what was typed over the runs, then fills the rest as planned.

    ``out`` are the pieces that come back, by number. A count of a spare goes to the runs of the
    kind that it stands in for, so that what it did is not assumed of the first piece as well.
    """

    rules: Rules
    job: str
    runs: Sequence[RunCard]
    out: Mapping[int, PieceCard]
    typed: Mapping[str, int]
    lines: list[StrokeLine] = field(default_factory=list)
    notes: list[Said] = field(default_factory=list)
    _left: dict[int, int] = field(default_factory=dict)
    _said: set[int] = field(default_factory=set)

    def __post_init__(self) -> None:
        """Work the lines out."""
        self._left = {run.id: run.left for run in self.runs}
        self.typed = self._meant()
        by_tag = {card.tag: card for card in self.out.values()}
        for tag, count in self.typed.items():
            self._counted(by_tag[tag], count)
        for run in self.runs:
            self._planned(run)

    def _meant(self) -> dict[str, int]:
        """What was typed, by the tags of the pieces that are out."""
        counts: dict[str, int] = {}
        for typed, count in self.typed.items():
            tag = meant_among(typed, (card.tag for card in self.out.values()))
            if tag is None:
                message = f"{typed} is not out for job {self.job}"
                lists = saying(act("kit", job=self.job), " lists what is")
                raise Refused(message, way_out=saying(lists, "; or use ", act("log")))
            _count_once(counts, tag, count)
        return counts

    def _counted(self, card: PieceCard, count: int) -> None:
        runs = [run for run in self.runs if run.piece_id == card.id]
        runs = runs or [run for run in self.runs if run.with_piece_id == card.id]
        cuts = [] if runs else [run for run in self.runs if card.tag in run.beside_tags]
        runs = runs or cuts or [run for run in self.runs if card.kind_id == run.kind_id]
        if not runs:
            message = f"{card.tag}: no run of job {self.job} wears it"
            way_out = saying("count the tools that strike; or use ", act("log"))
            raise Refused(message, way_out=way_out)
        if card.role == "die" or (cuts and cuts[0].tag in self.typed):
            self._add(runs[0], card.tag, count, die_tag="", estimate=False, alone=True)
            return
        # A count of any edge of a cut is one of the cut, so that nothing more of it is assumed.
        self._said.update(run.id for run in cuts)
        for run in runs:
            part = count if run is runs[-1] else min(count, self._left[run.id])
            self._left[run.id] = max(0, self._left[run.id] - part)
            tag = run.tag if cuts else card.tag
            self._add(run, tag, part, die_tag=self._die(run), estimate=False)
            count -= part

    def _planned(self, run: RunCard) -> None:
        """What is left of a run, for a piece that comes back and of which nobody said a count."""
        card, left = self.out.get(run.piece_id), self._left[run.id]
        if card is None or card.tag in self.typed or run.id in self._said or left <= 0:
            return
        if card.condition in _ENDED:
            note: Said = f"{card.tag} is {card.condition}: no strokes assumed"
            if card.condition == "broken":
                back = act("kit.back", job=self.job, counts=f"{card.tag}=COUNT")
                note = saying(note, "; say ", back, ", or ", act("log"), " it later")
            if note not in self.notes:
                self.notes.append(note)
            return
        self._add(run, card.tag, left, die_tag=self._die(run), estimate=True)

    def _die(self, run: RunCard) -> str:
        """The die under the run's punch, when it comes back with it and can still be counted."""
        card = self.out.get(run.with_piece_id or 0)
        if card is None or card.role != "die" or card.condition in ("lost", "retired"):
            return ""
        return card.tag

    def _add(
        self,
        run: RunCard,
        tag: str,
        count: int,
        *,
        die_tag: str,
        estimate: bool,
        alone: bool = False,
    ) -> None:
        if count > 0:
            note = AS_PLANNED if estimate else ""
            beside = () if alone else self._beside(run, tag)
            line = StrokeLine(tag, count, _work(run, self.rules), die_tag, self.job, estimate, note)
            self.lines.append(replace(line, beside=beside))

    def _beside(self, run: RunCard, tag: str) -> tuple[str, ...] | None:
        """What cuts with a run's tool, but for what has a count of its own.

        None where the plan did not say, as one that was kept by an earlier program.
        """
        if not run.beside:
            return None
        return tuple(one for one in run.beside_tags if one != tag and one not in self.typed)


def _work(run: RunCard, rules: Rules) -> Work:
    """What a run goes through; what cannot be weighed counts 1 a stroke."""
    material = rules.material(run.material or rules.text("material.default"))
    if run.thickness_mm is None or material.wear_factor is None:
        return Work()
    return Work(run.thickness_mm, material)
