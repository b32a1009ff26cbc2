"""Lines of strokes made ready for the ledger: the piece, the die under it, the weight."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass

from crib.acts import Saying, act, saying
from crib.desk.common.mounting import pair_fault
from crib.desk.strokes.manner_words import AS_USUAL
from crib.desk.strokes.weigh import Weigher, Weight, Work, read_work, work_through
from crib.errors import Refused, UnknownName
from crib.stock.book.kept_factors import factors_text
from crib.stock.book.ledger import NewEntry
from crib.stock.book.subjects import of_line
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, piece_by_tag, pieces_by_tags
from crib.stock.queries.strokes import pieces_at
from crib.trade.life.wear import Manner
from crib.trade.shop.shop_rules import Rules


@dataclass(frozen=True, slots=True)
class KnownLine:
    """What is known of a line beforehand, from a plan or a printed sheet; what is said beats it.

    ``code`` is the printed line's, such as ``7-3``.
    """

    tag: str
    die_tag: str = ""
    thickness_mm: float | None = None
    material: str = ""
    job: str = ""
    code: str = ""


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

    ``code`` is the printed line's that it was typed from; ``subject`` what else it is about.
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


@dataclass(frozen=True, slots=True)
class Booked:
    """A line with everything looked up. ``die`` is set when its strokes wear a die as well."""

    line: StrokeLine
    piece: PieceCard
    weight: Weight
    die: PieceCard | None
    die_weight: Weight | None


class Book:
    """Looks up what a number of lines need, each thing once."""

    def __init__(self, session: Session, rules: Rules, lines: Sequence[tuple[str, str]]) -> None:
        """``lines`` are the tags and the die tags (or empty) of all lines that will come."""
        wanted = {tag for pair in lines for tag in pair if tag}
        self._session = session
        self._weigher = Weigher(rules)
        self._system = rules.system
        self.pieces = pieces_by_tags(session, wanted)
        for tag in wanted - self.pieces.keys():
            with suppress(UnknownName):
                self.pieces[tag] = piece_by_tag(session, tag)
        own = {tag for tag, _die_tag in lines}
        self._own = {card.id for tag, card in self.pieces.items() if tag in own}
        self._mounted = pieces_at(session, self._stations(), "die")
        self._under: dict[int, PieceCard | None] = {}
        self.notes: dict[str, None] = {}

    def _stations(self) -> Iterable[int]:
        return (
            card.place_id
            for card in self.pieces.values()
            if card.place_id is not None and card.place_sort == "station"
        )

    def take(self, line: StrokeLine) -> Booked:
        """Look one line up.

        Raises:
            UnknownName: for a tag that is not in the crib.
            Refused: for a piece that is gone, or a die that cannot run with the punch.
        """
        piece = self._usable(line.tag)
        die = self._named(piece, line.die_tag) if line.die_tag else self._under_it(piece)
        weight = self._weigher.weigh(piece, die, line.work)
        if die is None or die.id in self._own:
            return Booked(line, piece, weight, None, None)
        return Booked(line, piece, weight, die, self._weigher.die_share(weight, piece.tag))

    def _usable(self, tag: str) -> PieceCard:
        card = self.pieces.get(tag) or piece_by_tag(self._session, tag)
        if card.condition in ("retired", "lost"):
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

    def _under_it(self, punch: PieceCard) -> PieceCard | None:
        if punch.id not in self._under:
            self._under[punch.id] = self._find_under(punch)
        return self._under[punch.id]

    def _find_under(self, punch: PieceCard) -> PieceCard | None:
        dies = self._mounted.get(punch.place_id or 0, []) if punch.role == "punch" else []
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
    if booked.die is None or booked.die_weight is None:
        return (first,)
    note = f"under {booked.piece.tag}"
    return (first, _entry(line, booked.die.id, booked.die_weight, note))


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
