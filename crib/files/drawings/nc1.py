"""The open NC exchange format for steel parts: one file to parts, their features, and notes.

What a file says in its own way is taken: tabs, small letters, glued letters, no leading blanks, no
end. What cannot be read is noted by its line, and only a line that is no number stops the file.
"""

from __future__ import annotations

from pathlib import Path

from crib.errors import BadInput, BadRows
from crib.files.drawings.dxf_looks import Takeable
from crib.files.drawings.nc1_blocks import Nc1Piece, Remarks, nc1_pieces, nc1_text, refuse_large_nc1
from crib.files.drawings.nc1_holes import Conventions, SlotCentre, YFrom
from crib.files.drawings.nc1_part import read_piece
from crib.files.drawings.parts import PartsRead


def read_nc1_file(
    path: Path,
    *,
    slot_centre: SlotCentre = "first_end",
    y_from: YFrom = "lower_edge",
    taken: frozenset[Takeable] = frozenset(),
) -> PartsRead:
    """Read a part file; one that is too large is refused before it is opened.

    Raises:
        BadInput: when there is no such file, or as ``read_nc1`` does.
    """
    if not path.is_file():
        message = f"there is no file at {path}"
        raise BadInput(message, way_out="give the NC file of a part")
    refuse_large_nc1(path.stat().st_size, path.name)
    data = path.read_bytes()
    return read_nc1(data, path.name, slot_centre=slot_centre, y_from=y_from, taken=taken)


def read_nc1(
    data: bytes | str,
    file: str,
    *,
    slot_centre: SlotCentre = "first_end",
    y_from: YFrom = "lower_edge",
    taken: frozenset[Takeable] = frozenset(),
) -> PartsRead:
    """Read the text of a part file.

    Args:
        data: What the file holds.
        file: Its name, for messages.
        slot_centre: Whether a slot's x and y are the middle of its first end or of all of it.
        y_from: Whether y counts from the lower edge, as writers do, or from the edge or axis that
            the letter behind x names.
        taken: ``once`` or ``each``, for openings at one place that may be one or two.

    Raises:
        AskBack: for such openings where nobody said.
        BadInput: for what is no part file: too large, empty, not text, without a header.
        BadRows: for a file with lines that cannot be read, all of them listed.
        ReadingFault: when a line ended neither counted, merged nor told.
    """
    remarks = Remarks(file)
    conventions = Conventions(slot_centre, y_from, taken)
    parts = []
    for piece in nc1_pieces(nc1_text(data, file), remarks):
        part = read_piece(piece, conventions, remarks)
        if part is not None:
            parts.append(part)
        if not piece.ended:
            remarks.note(_last_line(piece), "the part has no EN line: it may be cut short")
    if remarks.faults:
        raise _refused(remarks)
    if remarks.asked is not None:
        raise remarks.asked
    account = remarks.ledger.closed(sum(len(part.features) for part in parts))
    notes = tuple(sorted(remarks.notes, key=lambda note: note.line))
    return PartsRead(tuple(parts), notes, (account,))


def _last_line(piece: Nc1Piece) -> int:
    lines = [piece.line, *(line.number for line in piece.header)]
    for block in piece.blocks:
        lines += [block.line, *(line.number for line in block.lines)]
    return max(lines)


def _refused(remarks: Remarks) -> BadRows:
    first, count = remarks.faults[0], remarks.fault_count
    more = f" and {count - 1} more" if count > 1 else ""
    message = f"{first}{more}"
    way_out = "write the file again, or mend these lines"
    return BadRows(message, remarks.faults, way_out=way_out, is_told=count == 1)
