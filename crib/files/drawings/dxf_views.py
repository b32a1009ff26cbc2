"""Several views of one part: outlines in line with one another, as a drawing projects them.

A thin rectangle with nothing in it beside the outline, from end to end of it, is the plate's edge:
it has nothing to count. Other outlines in line may be views or parts of their own; a person says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from crib.acts import act, saying
from crib.errors import AskBack
from crib.files.drawings.contour_sides import Bounds
from crib.files.drawings.dxf_nesting import named
from crib.files.drawings.dxf_shapes import Shape

THICKEST_MM = 100.0
"""The thickest plate whose edge a rectangle is taken for: above it nobody punches."""
_IN_LINE_MM = 0.1
_THIN = 4


@dataclass(slots=True)
class Views:
    """The numbers of outlines that are views of another, and how thick the edges among them are."""

    edges: dict[int, float] = field(default_factory=dict)
    others: list[int] = field(default_factory=list)
    taken: int = -1

    @property
    def all(self) -> set[int]:
        """All that are views and not parts."""
        return {*self.edges, *self.others}


def views_of(
    outlines: Sequence[int],
    shapes: Sequence[Shape],
    holes: Sequence[int],
    taken: frozenset[str],
    file: str,
) -> Views:
    """Which outlines are views of which.

    Args:
        outlines: The numbers of the outlines.
        shapes: All shapes.
        holes: How many shapes lie in each of them.
        taken: What somebody said: ``views`` for parts of their own, ``one-view`` for one part.
        file: Its name, for messages.

    Raises:
        AskBack: when outlines in line may be views of one part or several parts.
    """
    found = Views()
    if "views" in taken or len(outlines) < 2:
        return found
    main = max(outlines, key=lambda n: (holes[n], shapes[n].area_mm2))
    found.taken = main
    for n in outlines:
        thick_mm = _edge_mm(shapes[main], shapes[n]) if n != main and not holes[n] else None
        if thick_mm is not None:
            found.edges[n] = thick_mm
    found.others = _in_line_with(main, [n for n in outlines if n not in found.edges], shapes)
    if found.others and "one-view" not in taken:
        raise _ask(shapes, main, found.others, file)
    return found


def _in_line_with(main: int, outlines: Sequence[int], shapes: Sequence[Shape]) -> list[int]:
    return [
        n for n in outlines if n != main and _shared(shapes[main].box, shapes[n].box) is not None
    ]


def _shared(one: Bounds, two: Bounds) -> str | None:
    """Whether two boxes reach equally far along x or along y, one beside the other."""
    if abs(one.left - two.left) <= _IN_LINE_MM and abs(one.right - two.right) <= _IN_LINE_MM:
        return "across"
    if abs(one.bottom - two.bottom) <= _IN_LINE_MM and abs(one.top - two.top) <= _IN_LINE_MM:
        return "up"
    return None


def _edge_mm(main: Shape, other: Shape) -> float | None:
    """How thick the plate is where the other outline is its edge; None where it is not."""
    how = _shared(main.box, other.box)
    if how is None or len(other.sides) != 4 or any(side.radius_mm for side in other.sides):
        return None
    thick_mm = other.box.height_mm if how == "across" else other.box.width_mm
    depth_mm = main.box.height_mm if how == "across" else main.box.width_mm
    full = abs(other.area_mm2 - other.box.width_mm * other.box.height_mm) <= 0.01 * other.area_mm2
    is_thin = thick_mm <= THICKEST_MM and _THIN * thick_mm <= max(depth_mm, main.box.width_mm)
    return thick_mm if full and is_thin and thick_mm < depth_mm else None


def _ask(shapes: Sequence[Shape], main: int, others: Sequence[int], file: str) -> AskBack:
    first = shapes[others[0]]
    count = f"{len(others)} more outline{'s are' if len(others) > 1 else ' is'}"
    message = (
        f"{file}: {count} in line with {named(shapes[main])}, such as {named(first)}: "
        "they may be views of one part, or parts"
    )
    parts, one = act("say.take", take="views"), act("say.take", take="one-view")
    way_out = saying("say ", parts, " when each is a part, ", one, " to read only the first")
    return AskBack(message, choose="take", way_out=way_out)
