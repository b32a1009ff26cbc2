"""Queries about strokes: many pieces at once, what was logged lately, which sheets were taken."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from crib.stock.book.ledger import Stamp
from crib.stock.engine.in_lists import asked_tables, in_lists
from crib.stock.engine.session import Session
from crib.stock.queries.newest_strokes import newest_strokes
from crib.stock.queries.pieces import PieceCard, at_site, pieces_in_places, select_cards

_USUAL_OF = 20
_STANDING = "counter.id IS NULL"
_COUNTER = "LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"


@dataclass(frozen=True, slots=True)
class EntryMark:
    """An entry by its number and the moment it was typed (UTC)."""

    id: int
    made_at: str


@dataclass(frozen=True, slots=True)
class TakenSheet:
    """A sheet that was taken: when, by whom, how many lines."""

    made_at: str
    person: str
    lines: int
    name: str


@dataclass(frozen=True, slots=True)
class LastWork:
    """What a piece last went through."""

    thickness_mm: float
    material: str


def pieces_at(
    session: Session, place_ids: Iterable[int], *roles: str
) -> dict[int, list[PieceCard]]:
    """The usable pieces of some roles at each of some places."""
    found: dict[int, list[PieceCard]] = {}
    for card in pieces_in_places(session, place_ids):
        usable = card.condition in ("sound", "inspect", "locked")
        if card.place_id is not None and card.role in roles and usable:
            found.setdefault(card.place_id, []).append(card)
    return found


def mounted_pieces(session: Session) -> list[PieceCard]:
    """Every usable piece that stands in a station of the asker's site, machine by machine."""
    return select_cards(
        session,
        "place.sort = 'station' AND piece.condition IN ('sound', 'inspect', 'locked')"
        f" AND {at_site(session.site)}",
        tail="ORDER BY place.walk_order, place.name, piece.tag",
    )


def same_entries_since(
    session: Session, counts: Iterable[tuple[int, int]], stamp: Stamp, minutes: float
) -> dict[tuple[int, int], EntryMark]:
    """Standing entries of the same piece and count by the same person, typed within some minutes.

    The newest for each piece and count that has one.
    """
    since = _minutes_before(stamp, minutes)
    rows = [(*one, since, stamp.person_id) for one in dict.fromkeys(counts)]
    columns = {
        "piece_id": "INTEGER",
        "quantity": "INTEGER",
        "since": "TEXT",
        "person_id": "INTEGER",
    }
    same: dict[tuple[int, int], EntryMark] = {}
    for asked, values in asked_tables(columns, rows):
        for piece_id, quantity, number, made_at in session.rows(
            f"{asked} SELECT entry.piece_id, entry.quantity, entry.id, entry.made_at FROM asked"
            f" {session.engine.hint.then_join} entry ON entry.piece_id = asked.piece_id"
            " AND entry.made_at >= asked.since AND entry.quantity = asked.quantity"
            f" AND entry.person_id = asked.person_id {_COUNTER}"
            f" WHERE entry.action = 'strokes' AND {_STANDING}"
            " ORDER BY entry.made_at DESC, entry.id DESC",
            values,
        ):
            same.setdefault((piece_id, quantity), EntryMark(number, made_at))
    return same


def same_grind_since(
    session: Session, piece_id: int, ground_um: int, stamp: Stamp, minutes: float
) -> EntryMark | None:
    """A standing grind that took off the same, by the same person, typed within some minutes."""
    row = session.row(
        f"SELECT entry.id, entry.made_at FROM entry {_COUNTER}"
        " WHERE entry.piece_id = ? AND entry.made_at >= ? AND entry.action = 'grind'"
        f" AND entry.ground_um = ? AND entry.person_id = ? AND {_STANDING}"
        " ORDER BY entry.made_at DESC, entry.id DESC LIMIT 1",
        (piece_id, _minutes_before(stamp, minutes), ground_um, stamp.person_id),
    )
    return EntryMark(row["id"], row["made_at"]) if row else None


def _minutes_before(stamp: Stamp, minutes: float) -> str:
    moment = datetime.fromisoformat(stamp.made_at) - timedelta(minutes=minutes)
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def last_counts(session: Session, piece_ids: Iterable[int]) -> dict[int, list[int]]:
    """The counts of the last standing stroke entries of some pieces, the newest first."""
    counts: dict[int, list[int]] = {piece_id: [] for piece_id in piece_ids}
    hint, newest = session.engine.hint, newest_strokes("''", _USUAL_OF)
    for wanted, some in in_lists(counts):
        for piece_id, count in session.rows(
            "SELECT piece.id, entry.quantity FROM piece"
            f" {hint.join_each('entry', newest)}"
            f" WHERE piece.id IN {wanted} ORDER BY entry.made_at DESC, entry.id DESC",
            some,
        ):
            counts[piece_id].append(int(count))
    return counts


def written_in_act(session: Session, act: str) -> tuple[str, tuple[int, ...]]:
    """Who made an act, and the numbers of its entries."""
    rows = session.rows(
        "SELECT entry.id, person.name FROM entry JOIN person ON person.id = entry.person_id"
        " WHERE entry.act = ? ORDER BY entry.id",
        (act,),
    )
    return str(rows[0][1]), tuple(int(row[0]) for row in rows)


def last_work(session: Session, piece_id: int) -> LastWork | None:
    """The thickness and material that a piece last went through, when they were given."""
    row = session.row(
        f"SELECT entry.thickness_mm, entry.material FROM entry {_COUNTER}"
        " WHERE entry.piece_id = ? AND entry.action = 'strokes'"
        f" AND entry.thickness_mm IS NOT NULL AND {_STANDING}"
        " ORDER BY entry.made_at DESC LIMIT 1",
        (piece_id,),
    )
    return LastWork(row["thickness_mm"], row["material"]) if row else None


def sharpened_after(session: Session, ids: Iterable[int], shift_on: str) -> list[tuple[str, str]]:
    """Tags of the pieces that were ground or turned on a later day than a shift's, and that day."""
    return [
        (row[0], row[1])
        for wanted, some in in_lists(ids)
        for row in session.rows(
            "SELECT piece.tag, max(entry.shift_on) FROM piece"
            f" JOIN entry ON entry.piece_id = piece.id {_COUNTER}"
            f" WHERE piece.id IN {wanted} AND piece.changed_on > ?"
            f" AND entry.action IN ('grind', 'turn') AND entry.shift_on > ? AND {_STANDING}"
            " GROUP BY piece.id, piece.tag ORDER BY piece.id",
            (*some, shift_on, shift_on),
        )
    ]


def dated_after(session: Session, ids: Iterable[int], day: str) -> list[tuple[str, str]]:
    """Tags of the pieces that have an entry of a later day, and the latest of those days."""
    found = []
    for wanted, some in in_lists(ids):
        found += session.rows(
            f"SELECT tag, latest_on FROM piece WHERE id IN {wanted} AND latest_on > ? ORDER BY tag",
            (*some, day),
        )
    return [(row[0], row[1]) for row in found]


def came_after(session: Session, ids: Iterable[int], day: str) -> list[tuple[int, str, str]]:
    """Numbers and tags of the pieces that came in on a later day, and that day."""
    found = []
    for wanted, some in in_lists(ids):
        found += session.rows(
            "SELECT piece.id, piece.tag, min(entry.shift_on) AS came_on FROM piece"
            f" JOIN entry ON entry.piece_id = piece.id {_COUNTER} WHERE piece.id IN {wanted}"
            f" AND entry.action = 'add' AND {_STANDING} GROUP BY piece.id, piece.tag"
            " HAVING min(entry.shift_on) > ? ORDER BY piece.tag",
            (*some, day),
        )
    return [(row[0], row[1], row[2]) for row in found]


def edges_used(session: Session, piece_id: int) -> set[int]:
    """The edges that were in use since the piece was last ground."""
    used: set[int] = set()
    for row in session.rows(
        f"SELECT entry.action, entry.edge FROM entry {_COUNTER}"
        " WHERE entry.piece_id = ? AND entry.action IN ('add', 'grind', 'turn')"
        f" AND {_STANDING} ORDER BY entry.shift_on, entry.id",
        (piece_id,),
    ):
        if row["action"] != "turn":
            used = set()
        used.add(row["edge"] or 1)
    return used


def put_off_at(session: Session, piece_id: int, level: str) -> EntryMark | None:
    """The entry that put a sharpening off at one level, on the edge in use."""
    for row in session.rows(
        f"SELECT entry.id, entry.made_at, entry.action, entry.acknowledged FROM entry {_COUNTER}"
        " WHERE entry.piece_id = ? AND entry.action IN ('defer', 'grind', 'turn')"
        f" AND {_STANDING} ORDER BY entry.shift_on DESC, entry.id DESC",
        (piece_id,),
    ):
        if row["action"] != "defer":
            return None
        if row["acknowledged"] == level:
            return EntryMark(row["id"], row["made_at"])
    return None


def last_break(session: Session, piece_id: int) -> str:
    """What was said when a piece was last reported broken or lost."""
    found = session.value(
        f"SELECT entry.note FROM entry {_COUNTER} WHERE entry.piece_id = ?"
        f" AND entry.action = 'break' AND {_STANDING} ORDER BY entry.made_at DESC LIMIT 1",
        (piece_id,),
    )
    return str(found or "")


def sheet_taken(session: Session, digest: str) -> TakenSheet | None:
    """When and by whom a sheet of this content was taken, if it stands in the ledger."""
    row = session.row(
        "SELECT sheet.made_at, person.name AS person, sheet.lines, sheet.name"
        " FROM sheet JOIN person ON person.id = sheet.person_id WHERE sheet.digest = ?"
        f" AND EXISTS (SELECT 1 FROM entry {_COUNTER} WHERE entry.act = sheet.act"
        f" AND entry.action = 'strokes' AND {_STANDING})",
        (digest,),
    )
    return TakenSheet(**dict(row)) if row else None


def keep_sheet(session: Session, stamp: Stamp, digest: str, name: str, lines: int) -> None:
    """Remember a sheet by its content, in the transaction that takes it.

    A sheet of the same content that was taken back gives its place to this one.
    """
    session.upsert(
        "sheet",
        {"digest": digest, "name": name[:200], "lines": lines, "act": stamp.act}
        | {"person_id": stamp.person_id, "made_at": stamp.made_at},
        ("digest",),
        "name = excluded.name, act = excluded.act, person_id = excluded.person_id,"
        " made_at = excluded.made_at",
    )


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """Where pieces must be: in somebody's hands, at one machine; empty means anywhere."""

    holder: str = ""
    machine: str = ""

    def condition(self, site_id: int | None = None) -> tuple[str, tuple[str, ...]]:
        """What follows the other conditions, with its values; of one site, if it is given."""
        where = "" if site_id is None else f" AND {at_site(site_id)}"
        if self.holder:
            where += " AND place.sort = 'person' AND lower(place.name) = lower(?)"
        if self.machine:
            where += (
                " AND place.station_id IN (SELECT station.id FROM station"
                " JOIN machine ON machine.id = station.machine_id WHERE machine.name = ?)"
            )
        return where, tuple(name for name in (self.holder, self.machine) if name)


ANYWHERE = Whereabouts()


def worn_pieces(
    session: Session, share: float, default_interval: float, where: Whereabouts = ANYWHERE
) -> list[PieceCard]:
    """The usable pieces worn to a share of their interval; walks kinds, never the ledger."""
    there, values = where.condition(session.site)
    join = session.engine.hint.then_join
    return select_cards(
        session,
        f"piece.id IN (SELECT worn.id FROM kind AS sort {join} piece AS worn"
        " ON worn.kind_id = sort.id AND worn.condition IN ('sound', 'inspect', 'locked')"
        " AND worn.wear_milli >= ? * coalesce(sort.learned_strokes, sort.interval_strokes, ?))"
        f"{there}",
        (share * 1000 * (1 - 1e-9), default_interval, *values),
    )
