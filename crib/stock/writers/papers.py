"""Printed stroke sheets: their numbers, what each line means, and which lines were typed back."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace

from crib.stock.book.ledger import Stamp
from crib.stock.book.subjects import of_line
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import tags_beginning
from crib.stock.queries.strokes import EntryMark

_LIKE_A_CODE = re.compile(r"[0-9]+-[0-9]")


@dataclass(frozen=True, slots=True)
class NewPaperLine:
    """One line to be printed: the tool that strikes, the die under it, the work.

    ``beside`` are the pieces that cut with the tool.
    """

    piece_id: int
    with_piece_id: int | None = None
    material: str = ""
    thickness_mm: float | None = None
    job: str = ""
    planned: int | None = None
    beside: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class PrintedLine:
    """One line of a printed sheet, with the tags of its pieces as they are now."""

    line: int
    tag: str
    die_tag: str
    material: str
    thickness_mm: float | None
    job: str
    planned: int | None
    beside: tuple[str, ...] = ()


def keep_paper(session: Session, stamp: Stamp, title: str, lines: Sequence[NewPaperLine]) -> int:
    """Keep a sheet before it is printed; returns its number, the next free one.

    A number whose codes could be taken for the tag of a piece is passed over.
    """
    with session.writing():
        number = last_paper(session) + 1
        while any(_LIKE_A_CODE.match(tag) for tag in tags_beginning(session, f"{number}-")):
            number += 1
        facts = {"id": number, "title": title[:200], "person_id": stamp.person_id}
        session.insert("paper", {**facts, "made_at": stamp.made_at})
        for at, line in enumerate(lines, 1):
            values = {"paper_id": number, "line": at, **asdict(line)}
            del values["beside"]
            session.add("paper_line", values)
        session.insert_many(
            "paper_line_piece",
            ("paper_id", "line", "piece_id"),
            [
                (number, at, piece_id)
                for at, line in enumerate(lines, 1)
                for piece_id in line.beside
            ],
        )
    return number


def last_paper(session: Session) -> int:
    """The number of the sheet that was printed last; 0 when there is none."""
    return int(session.value("SELECT max(id) FROM paper") or 0)


def paper_is_kept(session: Session, number: int) -> bool:
    """Whether there is a sheet of that number."""
    return session.value("SELECT 1 FROM paper WHERE id = ?", (number,)) is not None


def printed_lines(session: Session, number: int) -> dict[int, PrintedLine]:
    """The lines of a sheet by their numbers; none for a sheet that was never printed."""
    rows = session.rows(
        "SELECT paper_line.line, piece.tag, coalesce(die.tag, '') AS die_tag, paper_line.material,"
        " paper_line.thickness_mm, paper_line.job, paper_line.planned FROM paper_line"
        " JOIN piece ON piece.id = paper_line.piece_id"
        " LEFT JOIN piece AS die ON die.id = paper_line.with_piece_id"
        " WHERE paper_line.paper_id = ? ORDER BY paper_line.line",
        (number,),
    )
    lines = {row["line"]: PrintedLine(**dict(row)) for row in rows}
    for line, tag in session.rows(
        "SELECT beside.line, piece.tag FROM paper_line_piece AS beside"
        " JOIN piece ON piece.id = beside.piece_id WHERE beside.paper_id = ?"
        " ORDER BY beside.line, piece.tag",
        (number,),
    ):
        lines[line] = replace(lines[line], beside=(*lines[line].beside, tag))
    return lines


def entry_typed_from(session: Session, code: str, piece_id: int) -> EntryMark | None:
    """The standing entry of a piece that was typed from a printed line, by the line's code."""
    row = session.row(
        "SELECT entry.id, entry.made_at FROM entry"
        " LEFT JOIN entry AS counter ON counter.reverses_id = entry.id"
        " WHERE entry.piece_id = ? AND entry.subject = ? AND counter.id IS NULL"
        " ORDER BY entry.made_at DESC LIMIT 1",
        (piece_id, of_line(code)),
    )
    return EntryMark(row["id"], row["made_at"]) if row else None
