"""The strokes of a shift on cards: one for each planned run and mounted set, all counted together.

A card carries what it was drawn from, so that it means the same when it is sent hours later, after
the plan or the station has changed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from statistics import median_low

from crib.desk.strokes.log import stroke_lines
from crib.desk.strokes.log_book import KnownLine, StrokeLine
from crib.desk.strokes.log_words import read_lines
from crib.desk.strokes.shift import ProposedLine, lines_to_ask, plate_text, proposed_lines
from crib.errors import BadInput, BadValue, Missing
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, piece_by_tag, pieces_by_tags
from crib.stock.queries.shop_names import station_places
from crib.stock.queries.strokes import last_counts, last_work
from crib.trade.shop.shop_rules import Rules

LEAST_ENTRIES = 3
"""So many counts of a piece make a usual one."""


@dataclass(frozen=True, slots=True)
class StrokeCard:
    """A card: a proposed line, filled in with what is left of its plan, else with its usual.

    ``usual`` is the middle of its last counts, None where there are too few; ``plate`` what its
    strokes went through, as it is typed. ``runs_now`` is whether it is taken to have run: it is
    planned and its tool is mounted.
    """

    line: ProposedLine
    usual: int | None
    plate: str

    @property
    def id(self) -> str:
        """What tells this card from the others of a shift."""
        line = self.line
        said = (line.station, line.tag, line.die_tag, line.job, line.mark, line.phrase)
        return hashlib.sha256("|".join(said).encode()).hexdigest()[:8]

    @property
    def count(self) -> str:
        """The count that stands on it to begin with."""
        count = self.usual if self.line.strokes is None else self.line.strokes
        return "" if count is None else str(count)

    @property
    def runs_now(self) -> bool:
        """Whether its count is taken as it stands, unless somebody says none."""
        return self.line.strokes is not None and self.line.mounted

    @property
    def tools(self) -> tuple[str, ...]:
        """The tools of which one did it: the planned one, or the copy that stands there."""
        return (self.line.tag, self.line.standing) if self.line.standing else (self.line.tag,)

    @property
    def dies(self) -> tuple[str, ...]:
        """The dies of which one was under it: the planned one, or the one that stands there."""
        line = self.line
        return tuple(die for die in (line.die_tag, line.other_die) if die)


@dataclass(frozen=True, slots=True)
class SaidCard:
    """What was said on a card. ``drawn`` are the count and the plate that stood on it before.

    ``plate`` is None on a card whose plate is the plan's, empty where it is not known.
    """

    known: KnownLine
    count: str
    none: bool = False
    about: bool = False
    plate: str | None = None
    tool: str = ""
    die: str = ""
    drawn: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True)
class SaidShift:
    """The cards of a shift as they were sent, and a tool that was added by hand, in words."""

    cards: Sequence[SaidCard] = ()
    by_hand: Sequence[str] = field(default_factory=tuple)


def stroke_cards(session: Session, machine: str = "") -> list[StrokeCard]:
    """A card for each line of a shift, at one machine where it is named.

    Raises:
        UnknownName: for a machine that is not known.
    """
    return _cards(session, lines_to_ask(proposed_lines(session, machine)))


def cards_of(session: Session, tag: str) -> list[StrokeCard]:
    """The cards on which a piece strikes, lies under a punch or cuts with another.

    Raises:
        UnknownName: for a tag that is not in the crib.
    """
    piece = piece_by_tag(session, tag)
    lines = [one for one in proposed_lines(session) if piece.tag in _tags(one)]
    return _cards(session, lines_to_ask(lines) or [_by_hand(session, piece)])


def machines_of(session: Session) -> list[str]:
    """The machines, in the order of a walk round the shop."""
    return list(dict.fromkeys(place.machine for place in station_places(session)))


def shift_lines(session: Session, said: SaidShift) -> list[StrokeLine]:
    """The lines that a shift's cards say.

    Raises:
        Missing: when none of them counts anything.
        BadInput: for a card that cannot be read.
    """
    rules = shop_rules(session)
    lines = [line for card in said.cards if (line := card_line(rules, card)) is not None]
    if said.by_hand:
        lines += stroke_lines(session, said.by_hand, rules)
    if not lines:
        message = "no strokes were given, nothing was counted"
        raise Missing(message, way_out="say how many for what ran")
    return lines


def card_faults(session: Session, cards: Sequence[SaidCard]) -> dict[int, str]:
    """What is wrong with which of some cards, by its place among them."""
    rules = shop_rules(session)
    found: dict[int, str] = {}
    for number, card in enumerate(cards):
        try:
            card_line(rules, card)
        except BadInput as error:
            found[number] = error.message
    return found


def card_line(rules: Rules, said: SaidCard) -> StrokeLine | None:
    """The line that a card says; None where nothing ran.

    Raises:
        BadValue: for a card that says none and another count than it began with.
        BadInput: for a count or a plate that cannot be read.
    """
    count, (drawn_count, drawn_plate) = said.count.strip(), said.drawn
    tag = said.tool or said.known.tag
    if said.none:
        if count not in ("", "0", drawn_count):
            message = f"{tag}: none, and {count[:20]} strokes: which of them?"
            raise BadValue(message, way_out="take one of them back")
        return None
    if count in ("", "0"):
        return None
    known, words = said.known, [*count.split(), *(["about"] if said.about else [])]
    if said.tool and said.tool != known.tag:
        known = replace(known, tag=said.tool, beside=None)
    if said.die and said.die != known.die_tag:
        words += ["with", said.die]
    if said.plate is not None and said.plate.strip() != drawn_plate:
        known = replace(known, thickness_mm=None, material="")
        words += ["thru", *said.plate.split()] if said.plate.strip() else []
    lines = read_lines([tag, *words], rules, {tag}, {tag: known}.get)
    if len(lines) != 1:
        message = f"{tag}: {' '.join(words)[:60]!r} is more than one line"
        raise BadValue(message, way_out="say one count on a card")
    return lines[0]


def _cards(session: Session, lines: Sequence[ProposedLine]) -> list[StrokeCard]:
    rules = shop_rules(session)
    usual = _usual(session, (one.tag for one in lines))
    return [StrokeCard(one, usual.get(one.tag), _plate(one, rules)) for one in lines]


def _usual(session: Session, tags: Iterable[str]) -> dict[str, int]:
    """The middle of the last counts of some pieces, for those that have enough."""
    by_id = {card.id: tag for tag, card in pieces_by_tags(session, tags).items()}
    counts = last_counts(session, by_id)
    return {
        tag: median_low(counts[number])
        for number, tag in by_id.items()
        if len(counts[number]) >= LEAST_ENTRIES
    }


def _plate(line: ProposedLine, rules: Rules) -> str:
    if line.thickness_mm is None:
        return ""
    return plate_text(line.thickness_mm, line.material, rules.system)


def _tags(line: ProposedLine) -> tuple[str, ...]:
    return (line.tag, line.die_tag, line.standing, *line.beside)


def _by_hand(session: Session, piece: PieceCard) -> ProposedLine:
    """The line of a piece that is neither mounted nor planned, through what it last went."""
    last = last_work(session, piece.id)
    return ProposedLine(
        station=piece.place or "",
        mounted=False,
        tag=piece.tag,
        kind=piece.kind_name,
        dies="",
        die_tag="",
        strokes=None,
        thickness_mm=last.thickness_mm if last else None,
        material=last.material if last else "",
    )
