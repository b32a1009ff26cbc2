"""What words say of how many holes there are, beside how many are drawn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from crib.files.drawings.dxf_groups import Groups
from crib.files.drawings.dxf_shapes import Shape, opening_in
from crib.files.drawings.dxf_words import Callout, DrawnText, callouts
from crib.files.drawings.parts import ReadNote
from crib.units import MM_PER_INCH, System

_ROUNDED_MM = 0.005 * MM_PER_INCH
"""Half of what the second decimal of an inch rounds away."""
_WAY_OUT = "if there are more than are drawn, draw them, or count them by hand"


def callout_notes(texts: Sequence[DrawnText], groups: Groups, system: System) -> Iterator[ReadNote]:
    """Each "4X" that is not what is drawn: which holes it is nearest to, and how many there are."""
    said = callouts(texts, system)
    shapes = [shape for group in groups.parts for shape, _ in group.inner] if said else []
    holes = [(shape, _named(shape)) for shape in shapes if opening_in(shape) is not None]
    drawn = Counter(name for _, name in holes)
    for callout in said:
        meant = [(shape, name) for shape, name in holes if _may_mean(callout, shape)]
        if not meant:
            continue
        at = callout.text.at
        shape, name = min(meant, key=lambda hole: abs(hole[0].middle - at))
        if drawn[name] != callout.count:
            place = f"x {shape.middle.real:.4g}, y {shape.middle.imag:.4g}"
            text = (
                f"{callout.text.words[:40]!r} beside the {name} at {place} says {callout.count}: "
                f"{drawn[name]} such {'is' if drawn[name] == 1 else 'are'} drawn and counted"
            )
            yield ReadNote(callout.text.source.line, text, _WAY_OUT)


def _may_mean(callout: Callout, shape: Shape) -> bool:
    opening = opening_in(shape)
    if callout.size_mm is None or opening is None:
        return opening is not None
    return abs(opening.size_mm - callout.size_mm) <= _ROUNDED_MM


def _named(shape: Shape) -> str:
    opening = opening_in(shape)
    if opening is None:
        return ""
    long = f" x {opening.long_mm:.5g}" if opening.long_mm else ""
    return f"{opening.feature} of {opening.size_mm:.5g}{long} mm"
