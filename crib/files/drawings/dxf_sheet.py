"""The frame and the title block of a drawing's sheet: outlines that are no edges of any part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from crib.files.drawings.contour_sides import SAME_MM, Bounds, right_angled
from crib.files.drawings.dxf_nesting import Nesting
from crib.files.drawings.dxf_shapes import Shape

_SHEETS_MM = (
    *((210, 297), (297, 420), (420, 594), (594, 841), (841, 1189)),
    *((215.9, 279.4), (279.4, 431.8), (431.8, 558.8), (558.8, 863.6), (863.6, 1117.6)),
)
"""Trimmed sheets: A4 to A0 by ISO 216, and A to E by ANSI/ASME Y14.1 in millimetres."""
_SCALES = tuple(
    scale
    for one in (1, 2, 2.5, 4, 5, 8, 10, 12, 16, 20, 24, 25, 48, 50)
    for scale in (one, 1 / one)
)
_SAME_SHARE = 0.002
_TOUCHES_SHARE = 0.005


@dataclass(slots=True)
class Sheet:
    """The numbers of the shapes that are frames, and of those that are fields of a title block."""

    frames: list[int] = field(default_factory=list)
    fields: list[int] = field(default_factory=list)

    @property
    def all(self) -> set[int]:
        """Both together."""
        return {*self.frames, *self.fields}


def sheet_of(shapes: Sequence[Shape], nesting: Nesting, texts: Sequence[complex]) -> Sheet:
    """Find frames from the outside inwards, then the fields along the innermost of them.

    A frame is an upright rectangle around an outline with something in it: of the size of a sheet,
    or with a margin inside another frame, or around several such or words and with no hole beside
    them.
    """
    found = Sheet()
    while (frame := _frame(shapes, nesting, texts, found.all)) is not None:
        found.frames.append(frame)
    if found.frames:
        inside = [
            n
            for n, outers in enumerate(nesting.within)
            if set(outers) == set(found.frames) and _is_rectangle(shapes[n])
        ]
        found.fields = _fields(inside, shapes, nesting, texts, found.frames[-1])
    return found


def _frame(
    shapes: Sequence[Shape], nesting: Nesting, texts: Sequence[complex], gone: set[int]
) -> int | None:
    """The next shape that is a frame, once others are gone."""
    if all(len(outers) < 2 for outers in nesting.within):
        return None
    directly: dict[int, list[int]] = {}
    for n, outers in enumerate(nesting.within):
        left = [outer for outer in outers if outer not in gone]
        if left and n not in gone:
            directly.setdefault(left[-1], []).append(n)
    for n, inner in directly.items():
        outermost = all(outer in gone for outer in nesting.within[n])
        if outermost and _is_rectangle(shapes[n]):
            holding = [one for one in inner if one in directly and not shapes[one].is_circle]
            if holding and _is_frame(shapes, n, inner, holding, texts, gone):
                return n
    return None


def _is_frame(
    shapes: Sequence[Shape],
    frame: int,
    inner: Sequence[int],
    holding: Sequence[int],
    texts: Sequence[complex],
    gone: set[int],
) -> bool:
    box = shapes[frame].box
    if _is_sheet(box) or any(_is_margin(shapes[outer].box, shapes[frame]) for outer in gone):
        return True
    if any(shapes[n].is_circle and not has_words(shapes[n], texts) for n in inner):
        return False
    if len(holding) > 1 or any(_is_margin(box, shapes[n]) for n in holding):
        return True
    return any(
        box.holds(at.real, at.imag)
        and not any(shapes[n].box.holds(at.real, at.imag) for n in holding)
        for at in texts
    )


def has_words(circle: Shape, texts: Sequence[complex]) -> bool:
    """Whether it is a balloon around a number and no hole."""
    return any(abs(at - circle.middle) <= circle.radius_mm for at in texts)


def _is_rectangle(shape: Shape) -> bool:
    """Whether it is an upright rectangle."""
    upright = all(min(abs(s.step.real), abs(s.step.imag)) <= SAME_MM for s in shape.sides)
    return len(shape.sides) == 4 and upright and right_angled(shape.sides)


def _is_sheet(box: Bounds) -> bool:
    short_mm, long_mm = sorted((box.width_mm, box.height_mm))
    return any(
        abs(short_mm - scale * short) <= _SAME_SHARE * short_mm
        and abs(long_mm - scale * long) <= _SAME_SHARE * long_mm
        for short, long in _SHEETS_MM
        for scale in _SCALES
    )


def _is_margin(box: Bounds, inner: Shape) -> bool:
    """Whether a rectangle leaves no more than the margin of a sheet on each side."""
    if not _is_rectangle(inner):
        return False
    one = inner.box
    margins = (
        *(one.left - box.left, box.right - one.right),
        *(one.bottom - box.bottom, box.top - one.top),
    )
    return max(margins) <= 0.1 * min(box.width_mm, box.height_mm)


def _fields(
    inside: Sequence[int],
    shapes: Sequence[Shape],
    nesting: Nesting,
    texts: Sequence[complex],
    frame: int,
) -> list[int]:
    """Rectangles with words and no hole in them, or at the frame, and those that adjoin them."""
    reach_mm = _TOUCHES_SHARE * max(shapes[frame].box.width_mm, shapes[frame].box.height_mm)
    holding = {n for n, outers in enumerate(nesting.within) for n in outers}
    empty = [n for n in inside if n not in holding]
    found = [
        n
        for n in empty
        if _touches_inside(shapes[frame].box, shapes[n].box, reach_mm)
        or any(shapes[n].box.holds(at.real, at.imag) for at in texts)
    ]
    for n in found:
        found += [
            other
            for other in empty
            if other not in found and _adjoin(shapes[n].box, shapes[other].box, reach_mm)
        ]
    return found


def _touches_inside(outer: Bounds, inner: Bounds, reach_mm: float) -> bool:
    offs = (
        *(inner.left - outer.left, outer.right - inner.right),
        *(inner.bottom - outer.bottom, outer.top - inner.top),
    )
    return min(offs) <= reach_mm


def _adjoin(one: Bounds, two: Bounds, reach_mm: float) -> bool:
    across = max(one.left, two.left) - min(one.right, two.right)
    up = max(one.bottom, two.bottom) - min(one.top, two.top)
    return max(across, up) <= reach_mm
