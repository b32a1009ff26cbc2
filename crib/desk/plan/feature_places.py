"""Where a run's features lie on the part, as stops are set: from the left end and lower edge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from crib.desk.plan.runs import Run
from crib.features.common.speech import Speech
from crib.features.common.tooling import Tool
from crib.files.drawings.parts import PartFeature
from crib.trade.metal.key_angles import keys_that_line_up

MOST_LINES, MOST_IN_LINE = 8, 12
_HALF_TURN = 180.0
_SAME_DEG = 0.5
_FACES = {"o": "top flange", "u": "bottom flange", "h": "back"}


def features_of(run: Run) -> list[PartFeature]:
    """The run's features on the part's drawing; none where a list asked for them."""
    drawn = run.task.chunk.part.drawn
    return [drawn.features[number] for number in run.use.feature.drawn] if drawn else []


def gauge_lines(run: Run, say: Speech) -> Iterator[str]:
    """A line for each distance from the lower edge, with the places along it."""
    rows: dict[tuple[str, float], list[float]] = {}
    for one in features_of(run):
        rows.setdefault((one.face, round(one.y_mm, 3)), []).append(one.x_mm)
    for number, ((face, y_mm), places) in enumerate(sorted(rows.items())):
        if number == MOST_LINES:
            yield f"and {len(rows) - MOST_LINES} more lines: see the drawing"
            return
        along = ", ".join(_bare(x_mm, say) for x_mm in sorted(places)[:MOST_IN_LINE])
        more = f" and {len(places) - MOST_IN_LINE} more" if len(places) > MOST_IN_LINE else ""
        where = f"{_FACES[face]}: " if face in _FACES else ""
        yield f"{where}{say.length(y_mm)} up; from the left end {along}{more}"


def key_angle_deg(tool: Tool, beside: Tool | None, runs: Sequence[Run]) -> int | None:
    """How the key is set: along the drawn features where the keys allow it, else the first way.

    Beside its partner only angles at which the two line up are taken. None for a tool without a
    key.
    """
    if not tool.key_angles:
        return None
    angles = _lined_up(tool, beside) or tool.key_angles
    drawn = [one.angle_deg % _HALF_TURN for run in runs for one in features_of(run)]
    for angle in angles:
        if any(abs(angle % _HALF_TURN - one) <= _SAME_DEG for one in drawn):
            return angle
    return angles[0]


def _lined_up(tool: Tool, beside: Tool | None) -> tuple[int, ...]:
    """The angles of a tool at which its partner can stand alike, in the order of the punch's."""
    if beside is None:
        return ()
    lead, other = (beside, tool) if tool.role == "die" else (tool, beside)
    pairs = keys_that_line_up(tool.shape, lead.key_angles, other.key_angles)
    return tuple(of_other if tool is other else of_lead for of_lead, of_other in pairs)


def _bare(length_mm: float, say: Speech) -> str:
    return say.length(length_mm).removesuffix(" mm")
