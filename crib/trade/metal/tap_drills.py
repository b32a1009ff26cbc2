"""The hole that is made before a thread is tapped."""

from __future__ import annotations

from dataclasses import dataclass

from crib.errors import UnknownName
from crib.trade.common.published_tables import read_table, table_length_mm

_SIZES = ("major", "drill")


@dataclass(frozen=True, slots=True)
class TapDrill:
    """A thread, its outside, and the hole to be tapped [mm]; ``drill`` as the table prints it."""

    thread: str
    major_mm: float
    drill_mm: float
    drill: str
    source: str


def tap_drill(thread: str) -> TapDrill:
    """The hole before a thread is tapped; of a bolt size without its pitch that of the coarse one.

    Source: table tap_drills.csv, where each row names its own: Machinery's Handbook or public
    charts for threads of ASME B1.1, public charts or ISO 2306:1972 from memory for metric ones.

    Args:
        thread: The thread as people write it, ``M12``, ``M12x1.25``, ``1/2-13`` or ``1/2`` [text].

    Returns:
        The thread with its hole [mm].

    Raises:
        UnknownName: for a thread that the table does not have; it is never worked out from others.

    Example:
        >>> tap_drill("M12").drill_mm
        10.2
    """
    written = thread.strip().upper().replace("X", "x").replace("×", "x").removesuffix("-UNC")
    for row in read_table("tap_drills"):
        if written in _names(row):
            major_mm, drill_mm = (table_length_mm(row[name], row["unit"]) for name in _SIZES)
            drill = f"{row['drill']}{row['unit']}"
            return TapDrill(row["thread"], major_mm, drill_mm, drill, row["source"])
    known = ", ".join(row["thread"] for row in read_table("tap_drills"))
    message = f"unknown thread {thread!r}; known: {known}"
    raise UnknownName(message, way_out="say the hole that is punched, and tap it by the drawing")


def _names(row: dict[str, str]) -> tuple[str, ...]:
    """How it may be written: a coarse metric thread with its pitch, a coarse inch one without."""
    if row["series"] != "coarse":
        return (row["thread"],)
    other = f"{row['thread']}x{row['pitch']}" if row["unit"] == "mm" else row["major"]
    return row["thread"], other
