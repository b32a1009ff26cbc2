"""Lines of strokes made ready for the ledger: the piece, what wears with it, the weight."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Literal

from crib.acts import Saying, act, saying
from crib.desk.common.blade_pairs import cutting_with
from crib.desk.common.mounting import pair_fault
from crib.desk.strokes.manner_words import AS_USUAL
from crib.desk.strokes.planned_sets import PlannedSets
from crib.desk.strokes.weigh import Weigher, Weight, Work, read_work, work_through
from crib.errors import Refused, UnknownName
from crib.stock.book.kept_factors import factors_text
from crib.stock.book.ledger import NewEntry
from crib.stock.book.subjects import BESIDE, of_line
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, piece_by_tag, pieces_by_tags
from crib.stock.queries.strokes import pieces_at
from crib.trade.life.wear import Manner
from crib.trade.shop.shop_rules import Rules
from crib.words import CUTS_TOGETHER

GONE = ("retired", "lost")
"""Conditions in which no strokes are counted on a piece."""


@dataclass(frozen=True, slots=True)
class KnownLine:
    """What is known of a line beforehand, from a plan or a printed sheet; what is said beats it.

    ``beside`` cut with the tool, None where that is not known; ``code`` is the printed line's,
    such as ``7-3``.
    """

    tag: str
    die_tag: str = ""
    thickness_mm: float | None = None
    material: str = ""
    job: str = ""
    code: str = ""
    beside: tuple[str, ...] | None = None


def read_known_work(
    rules: Rules,
    known: KnownLine,
    thickness: str,
    material: str,
    manner: Manner = AS_USUAL,
) -> Work:
    """The work of a line from what was written; its plate is the known one where nothing was.

    Raises:
        BadInput: for a thickness or material that cannot be read or weighed.
    """
    named = material.strip() or known.material
    if thickness.strip() or known.thickness_mm is None:
        return read_work(rules, thickness, named, manner)
    found = rules.material(named or rules.text("material.default"))
    return work_through(known.thickness_mm, found, manner)


@dataclass(frozen=True, slots=True)
class StrokeLine:
    """One line as it was said: so many strokes of one piece, through this, over that die.

    ``beside`` are the tags of what cut with it, None where that is to be found out. ``code`` is
    the printed line's that it was typed from; ``subject`` what else it is about.
    """

    tag: str
    count: int
    work: Work
    die_tag: str = ""
    job: str = ""
    estimate: bool = False
    note: str = ""
    code: str = ""
    subject: str = ""
    beside: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Worn:
    """A piece that the strokes of a line wear beside the tool: a die under it, a blade with it."""

    card: PieceCard
    weight: Weight
    how: Literal["under", "with"]


@dataclass(frozen=True, slots=True)
class Booked:
    """A line with everything looked up: the tool, and whatever else its strokes wear.

    ``planned`` are the strokes that the job's plan has for the tool, and those logged before.
    """

    line: StrokeLine
    piece: PieceCard
    weight: Weight
    others: tuple[Worn, ...] = ()
    planned: tuple[int, int] | None = None

    @property
    def cards(self) -> tuple[PieceCard, ...]:
        """Every piece that it wears, the tool first."""
        return (self.piece, *(worn.card for worn in self.others))


class Book:
    """Looks up what a number of lines need, each thing once.

    What wears with a tool is what the line says, else what the plan of its job named, else what
    stands with it at its station.
    """

    def __init__(
        self, session: Session, rules: Rules, lines: Iterable[KnownLine | StrokeLine]
    ) -> None:
        """``lines`` are all that will come, or what is known of them."""
        known = list(lines)
        self._session = session
        self._weigher = Weigher(rules)
        self._system = rules.system
        self._plan = PlannedSets(session, (line.job for line in known))
        self.pieces: dict[str, PieceCard] = {}
        self._look_up({tag for one in known for tag in (one.tag, one.die_tag, *(one.beside or ()))})
        own = {line.tag for line in known}
        self._own = {card.id for tag, card in self.pieces.items() if tag in own}
        self._look_up(self._plan.tags_with(card.id for card in self.pieces.values()))
        self._mounted = pieces_at(session, self._stations(), "die", *CUTS_TOGETHER)
        self._under: dict[int, PieceCard | None] = {}
        self.notes: dict[str, None] = {}

    def _look_up(self, tags: set[str]) -> None:
        wanted = {tag for tag in tags if tag and tag not in self.pieces}
        if not wanted:
            return
        self.pieces |= pieces_by_tags(self._session, wanted)
        for tag in wanted - self.pieces.keys():
            with suppress(UnknownName):
                self.pieces[tag] = piece_by_tag(self._session, tag)

    def _stations(self) -> Iterable[int]:
        return {
            card.place_id
            for card in self.pieces.values()
            if card.place_id is not None and card.place_sort == "station"
        }

    def take(self, line: StrokeLine) -> Booked:
        """Look one line up.

        Raises:
            UnknownName: for a tag that is not in the crib.
            Refused: for a piece that is gone, or a die that cannot run with the punch.
        """
        piece = self._usable(line.tag)
        if piece.role in CUTS_TOGETHER and not line.die_tag:
            return self._cut(line, piece)
        die = self._named(piece, line.die_tag) if line.die_tag else self._under_it(piece, line)
        weight = self._weigher.weigh(piece, die, line.work)
        planned = self._plan.strokes(line.job, piece)
        if die is None or die.id in self._own:
            return Booked(line, piece, weight, planned=planned)
        share = self._weigher.die_share(weight, piece.tag)
        return Booked(line, piece, weight, (Worn(die, share, "under"),), planned)

    def _cut(self, line: StrokeLine, piece: PieceCard) -> Booked:
        """A cut that several edges make: each takes every stroke, one of them stands for it."""
        if line.beside is not None:
            others = [one for tag in line.beside if (one := self._still_there(tag, piece.tag))]
        else:
            lead, others = self._cutting(line, piece)
            owned = [one.tag for one in (lead, *others) if one.id in self._own]
            if len(owned) > 1:
                others = self._beside_own(piece, [lead, *others], owned)
            else:
                piece = lead
        weight = self._weigher.weigh(piece, None, line.work)
        worn = (Worn(one, self._weigher.weigh(one, None, line.work), "with") for one in others)
        planned = self._plan.strokes(line.job, piece)
        return Booked(replace(line, tag=piece.tag), piece, weight, tuple(worn), planned)

    def _still_there(self, tag: str, lead: str) -> PieceCard | None:
        """A piece that is said to have cut with another, unless it is gone, which is told."""
        card = self.pieces.get(tag) or piece_by_tag(self._session, tag)
        if card.condition not in GONE:
            return card
        self.notes[f"{tag} is {card.condition}: no strokes counted on it with {lead}"] = None
        return None

    def _cutting(self, line: StrokeLine, piece: PieceCard) -> tuple[PieceCard, list[PieceCard]]:
        """Which piece stands for a cut, and the others: as planned, else as they are mounted."""
        tags = self._plan.cut(line.job, piece.id, line.work.thickness_mm, line.count)
        planned = [card for tag in tags if (card := self.pieces[tag]).condition not in GONE]
        if not planned[1:]:
            # Nothing planned, or by an earlier program, which kept one edge of a cut.
            return piece, cutting_with(piece, self._mounted.get(piece.place_id or 0, []))
        lead = self._usable(planned[0].tag)
        return lead, planned[1:]

    def _beside_own(
        self, piece: PieceCard, cutting: Sequence[PieceCard], owned: Sequence[str]
    ) -> list[PieceCard]:
        """What a piece brings along where others of its cut have lines here: each counts once."""
        for tag in sorted(owned)[1:]:
            self.notes[f"{tag} has lines of its own: not counted with {min(owned)} as well"] = None
        bringing = piece.tag == min(owned)
        return [one for one in cutting if one.tag not in owned] if bringing else []

    def _usable(self, tag: str) -> PieceCard:
        card = self.pieces.get(tag) or piece_by_tag(self._session, tag)
        if card.condition in GONE:
            message = f"{card.tag} is {card.condition}; no strokes are counted on it"
            raise Refused(message, way_out=_put_right(card))
        if card.condition == "broken":
            self.notes[f"{card.tag} is reported broken: counted, as made before it broke"] = None
        elif card.condition != "sound":
            word = {"locked": "locked", "inspect": "to be inspected"}[card.condition]
            self.notes[f"{card.tag} is {word}: counted, but do not run it so"] = None
        return card

    def _named(self, piece: PieceCard, die_tag: str) -> PieceCard:
        die = self._usable(die_tag)
        if piece.role != "punch" or die.role != "die":
            message = f"{piece.tag} is a {piece.role}, {die.tag} a {die.role}: `with` joins a die"
            raise Refused(message, way_out="write it like: P-0137 400 thru 3/8 A36 with D-0201")
        fault = pair_fault(piece, die, self._system)
        if fault is not None:
            raise Refused(fault.what, way_out="these two never ran together: check both tags")
        return die

    def _under_it(self, punch: PieceCard, line: StrokeLine) -> PieceCard | None:
        """The die that the job's plan named under a punch, else the one that stands there."""
        tag = self._plan.die(line.job, punch.id, line.work.thickness_mm, line.count)
        planned = self.pieces.get(tag)
        if planned is not None and planned.condition not in GONE:
            if pair_fault(punch, planned, self._system) is None:
                return planned
        if punch.id not in self._under:
            self._under[punch.id] = self._find_under(punch)
        return self._under[punch.id]

    def _find_under(self, punch: PieceCard) -> PieceCard | None:
        standing = self._mounted.get(punch.place_id or 0, []) if punch.role == "punch" else []
        dies = [one for one in standing if one.role == "die"]
        fitting = [one for one in dies if pair_fault(punch, one, self._system) is None]
        if len(fitting) == 1:
            return fitting[0]
        if dies:
            tags = ", ".join(one.tag for one in fitting or dies)
            which = "which of them was under it" if fitting else "none of them fits it"
            note = f"{punch.tag}: at its station stand {tags}; {which}? No die counted: say `with`"
            self.notes[note] = None
        return None


def entries_of(booked: Booked) -> tuple[NewEntry, ...]:
    """What goes into the ledger for one line."""
    line = booked.line
    subject = line.subject or of_line(line.code)
    first = _entry(line, booked.piece.id, booked.weight, _note(line), subject)
    return (first, *(_of_worn(line, booked.piece.tag, worn) for worn in booked.others))


def _of_worn(line: StrokeLine, tag: str, worn: Worn) -> NewEntry:
    note = f"{worn.how} {tag}"
    return _entry(line, worn.card.id, worn.weight, note, BESIDE if worn.how == "with" else "")


def _note(line: StrokeLine) -> str:
    said = [f"sheet line {line.code}"] if line.code else []
    return "; ".join([*said, *([line.note] if line.note else [])])


def _entry(
    line: StrokeLine, piece_id: int, weight: Weight, note: str, subject: str = ""
) -> NewEntry:
    work, each = line.work, weight.each
    return NewEntry(
        "strokes",
        piece_id,
        quantity=line.count,
        weighted_milli=round(line.count * each * 1000),
        severity=each,
        estimate=line.estimate,
        material=work.material.name if work.material else "",
        thickness_mm=work.thickness_mm,
        job=line.job,
        note=note,
        factors=factors_text(weight.severity.factors),
        subject=subject,
    )


def _put_right(card: PieceCard) -> Saying:
    """What to do about a piece that is gone by the records."""
    history = act("history", tag=card.tag)
    if card.condition == "lost":
        return saying("if it is found again, ", history, " and ", act("undo"), " put it right")
    return saying("put it right first: ", history, " shows how it came about")
