"""What a crib has and works with: the sizes of its tools, its plates, its grades."""

from __future__ import annotations

from dataclasses import dataclass

from crib.features.common.asked_tool import AskedTool
from crib.stock.engine.session import Session


@dataclass(frozen=True, slots=True)
class OwnSize:
    """A size of which there is a sound piece, and how much the pieces of that size have done."""

    width_mm: float
    long_mm: float | None
    depth_mm: float | None
    strokes: int


def own_sizes(session: Session, tool: AskedTool, shape: str) -> list[OwnSize]:
    """The sizes of one outline of a sort of tool, those whose pieces did most first."""
    rows = session.rows(
        "SELECT kind.width_mm, kind.long_mm, kind.depth_mm, sum(piece.strokes_total) AS strokes"
        " FROM kind JOIN piece ON piece.kind_id = kind.id"
        " WHERE kind.role = ? AND kind.shape = ? AND kind.profile = ?"
        " AND kind.width_mm IS NOT NULL AND piece.condition = 'sound'"
        " GROUP BY kind.width_mm, kind.long_mm, kind.depth_mm"
        " ORDER BY strokes DESC, kind.width_mm, kind.long_mm, kind.depth_mm",
        (tool.role, shape, tool.profile),
    )
    return [OwnSize(**dict(row)) for row in rows]


def own_plates(session: Session) -> list[tuple[float, str]]:
    """Thickness [mm] and material of what was planned, what lists are for, what paper waits for.

    Those that come up most often come first.
    """
    rows = session.rows(
        "SELECT thickness_mm, material FROM ("
        "SELECT thickness_mm, material FROM planned_run"
        " UNION ALL SELECT thickness_mm, material FROM paper_line"
        " UNION ALL SELECT thickness_mm, material FROM envelope_point) AS plate"
        " WHERE thickness_mm IS NOT NULL AND material <> ''"
        " GROUP BY thickness_mm, material ORDER BY count(*) DESC, thickness_mm, material"
    )
    return [(float(row["thickness_mm"]), str(row["material"])) for row in rows]
