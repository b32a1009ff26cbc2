"""Count a place: what should be there, what was found, and settling the differences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from crib.acts import Said, act, saying
from crib.desk.common.acting import require_reason, stamp_for
from crib.desk.common.as_stored import as_stored
from crib.desk.common.mounting import size_that_counts
from crib.desk.shelf.add import read_tag
from crib.errors import BadValue, Refused
from crib.stock.book.conditions import read_state
from crib.stock.book.ledger import NewEntry, write
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import PieceCard, expected_at, pieces_by_tags, pieces_meant
from crib.stock.queries.places import PlaceCard, all_places, place_by_name
from crib.stock.queries.tags import with_joined_tags

BLANK_LINES = 10


@dataclass(frozen=True, slots=True)
class Counted:
    """One piece in a count: where the record has it, and its condition there."""

    tag: str
    kind: str
    size: str
    place: str | None
    condition: str


@dataclass(frozen=True, slots=True)
class Count:
    """A place counted. Without ``found_given`` only ``expected`` (empty when blind) is filled.

    ``strays`` are recorded elsewhere, ``found_again`` were lost, ``retired`` should not be there,
    ``unknown`` tags are not in the crib. ``stored`` are the pieces that settling changed, as the
    crib has them after it.
    """

    place: str
    blind: bool
    found_given: bool
    expected: tuple[Counted, ...]
    blank_lines: int
    here: tuple[Counted, ...] = ()
    missing: tuple[Counted, ...] = ()
    strays: tuple[Counted, ...] = ()
    found_again: tuple[Counted, ...] = ()
    retired: tuple[Counted, ...] = ()
    unknown: tuple[str, ...] = ()
    settled: bool = False
    act: str = ""
    stored: tuple[Counted, ...] = ()
    notes: tuple[Said, ...] = ()

    @property
    def differences(self) -> int:
        """How many pieces are not where the record has them."""
        return len(self.missing) + len(self.strays) + len(self.found_again)


def expected_list(session: Session, name: str, *, blind: bool = False) -> Count:
    """What should lie at a place; blind, only lines to write tags on.

    Raises:
        UnknownName: for a place that is not there.
    """
    place = place_by_name(session, name)
    expected = expected_at(session, place.id)
    # The number of lines must not give away how many pieces are expected.
    lines = BLANK_LINES * (len(expected) // BLANK_LINES + 1)
    shown = () if blind else _counted(session, expected)
    return Count(place.name, blind, False, shown, lines if blind else 0)


def drawer_names(session: Session) -> tuple[str, ...]:
    """Every drawer of the asker's site, in the order of a walk."""
    return tuple(
        place.name
        for place in all_places(session)
        if place.sort == "drawer" and session.site in (None, place.site_id)
    )


def count_place(session: Session, name: str, found: Sequence[str]) -> Count:
    """Compare what was found at a place with the record. Changes nothing.

    Raises:
        UnknownName: for a place that is not there.
        BadValue: for a tag that cannot be one.
    """
    return _compare(session, place_by_name(session, name), found)


def settle_count(
    session: Session,
    name: str,
    found: Sequence[str],
    why: str,
    *,
    by: str = "",
    now: datetime | None = None,
) -> Count:
    """Put the record right after a count, in one act.

    Missing pieces become lost, strays are moved here, lost ones that turned up are to be looked at,
    or are as broken as they were.

    Raises:
        Refused: when a tag is not in the crib, or strays would be mounted by a count.
    """
    reason = require_reason(why, f"settle {name}")
    with session.writing():
        place = place_by_name(session, name)
        count = _compare(session, place, found)
        _require_settleable(place, count)
        stamp = stamp_for(session, by, now=now)
        entries = [
            *_entries(session, count.missing, NewEntry("count", condition="lost", note=reason)),
            *_entries(session, count.strays, NewEntry("count", place_id=place.id, note=reason)),
            *_turned_up(
                session, count.found_again, NewEntry("count", place_id=place.id, note=reason)
            ),
        ]
        write(session, stamp, entries)
        ids = [entry.piece_id for entry in entries if entry.piece_id is not None]
        after = as_stored(session, ids, stamp)
        stored = _counted(session, sorted(after.cards.values(), key=lambda card: card.tag))
    count = replace(count, stored=stored, notes=after.notes)
    return replace(count, settled=True, act=stamp.act if entries else "")


def _require_settleable(place: PlaceCard, count: Count) -> None:
    if count.unknown:
        message = f"not in the crib: {', '.join(count.unknown)}"
        way_out = saying(act("add"), " them first, or read the tags again")
        raise Refused(message, way_out=way_out)
    if place.station_id is not None and (count.strays or count.found_again):
        tags = ", ".join(one.tag for one in (*count.strays, *count.found_again))
        message = f"{place.name} is a station; a count does not mount {tags}"
        way_out = saying(act("move"), f" them to {place.name}, then settle")
        raise Refused(message, way_out=way_out)


def _compare(session: Session, place: PlaceCard, found: Sequence[str]) -> Count:
    tags = list(dict.fromkeys(map(read_tag, with_joined_tags(session, found))))
    cards = pieces_meant(session, tags)
    present = list({card.id: card for card in cards.values()}.values())
    expected = expected_at(session, place.id)
    ids = {one.id for one in present}
    kept = [one for one in present if one.condition not in ("lost", "retired")]
    lost = [one for one in present if one.condition == "lost"]
    return Count(
        place=place.name,
        blind=False,
        found_given=True,
        expected=_counted(session, expected),
        blank_lines=0,
        here=_counted(session, [one for one in kept if one.place_id == place.id]),
        missing=_counted(session, [one for one in expected if one.id not in ids]),
        strays=_counted(session, [one for one in kept if one.place_id != place.id]),
        found_again=_counted(session, lost),
        retired=_counted(session, [one for one in present if one.condition == "retired"]),
        unknown=tuple(tag for tag in tags if tag not in cards),
    )


def _counted(session: Session, cards: Sequence[PieceCard]) -> tuple[Counted, ...]:
    unit = shop_rules(session).system
    return tuple(
        Counted(card.tag, card.kind_name, size_that_counts(card, unit), card.place, card.condition)
        for card in cards
    )


def _entries(session: Session, counted: Sequence[Counted], entry: NewEntry) -> list[NewEntry]:
    cards = pieces_by_tags(session, [one.tag for one in counted])
    return [replace(entry, piece_id=card.id) for _tag, card in sorted(cards.items())]


def _turned_up(session: Session, counted: Sequence[Counted], entry: NewEntry) -> Iterator[NewEntry]:
    for one in _entries(session, counted, entry):
        harmed = one.piece_id is not None and read_state(session, one.piece_id).harm
        yield replace(one, condition="broken" if harmed else "inspect")


def split_tags(texts: Sequence[str]) -> list[str]:
    """Tags from ``P-1,P-2 P-3``; the word ``none`` stands for an empty place.

    Raises:
        BadValue: when ``none`` stands beside tags, or nothing is said.
    """
    words = " ".join(texts).replace(",", " ").split()
    if [word.casefold() for word in words] == ["none"]:
        return []
    if not words or "none" in (word.casefold() for word in words):
        message = f"what was found, {' '.join(texts)!r}, names no tags"
        some, none = act("say.found", found="P-0137,D-0201"), act("say.found", found="none")
        raise BadValue(message, way_out=saying(some, ", or ", none, " when it is empty"))
    return words
