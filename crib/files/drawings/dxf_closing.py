"""The geometry of a drawing to closed shapes, each once; what closes nothing is left over."""

from __future__ import annotations

from collections.abc import Iterable

from crib.files.drawings.dxf_chains import Chains, DrawnStroke, NearlyClosed, chained
from crib.files.drawings.dxf_entities import Drawn, Geometry
from crib.files.drawings.dxf_leftovers import Leftovers
from crib.files.drawings.dxf_looks import Aside, Takeable
from crib.files.drawings.dxf_shapes import (
    Shape,
    loop_shape,
    opening_in,
    without_twins,
)

TWICE = Aside("twice", "drawn twice, counted once")
_SHORT = "not read: shorter than 0.05 mm"
_LOOSE = "not read: part of no closed outline"
_BRANCHING = "not read: more than two lines meet at one place"


def closed_shapes(drawn: Drawn, taken: frozenset[Takeable]) -> list[Shape]:
    """Every closed shape of the model once."""
    chains = chained(drawn.model.strokes)
    loops = list(chains.loops)
    for near in chains.nearly:
        why = _gap(near, is_closed="gaps" in taken)
        drawn.leftovers.add_all(near.loop if "gaps" not in taken else near.loop[:1], why)
        if "gaps" in taken:
            loops.append(near.loop)
    _leave(drawn.leftovers, chains)
    found = list(drawn.model.circles)
    found += _loops([*drawn.model.outlines, *loops], drawn.leftovers)
    kept, twins = without_twins(found)
    for twin in twins:
        for source in twin.drawn_by:
            drawn.leftovers.add(source, TWICE)
    return kept


def set_aside(drawn: Drawn) -> None:
    """Leave over what is no edge of the part, with the sizes of what it would be."""
    for aside, geometry in drawn.aside.items():
        chains = chained(geometry.strokes)
        loops = [*geometry.outlines, *chains.loops, *(near.loop for near in chains.nearly)]
        for shape in (*geometry.circles, *_loops(loops, Leftovers())):
            drawn.leftovers.sized(shape.source, aside, _size(shape))
        drawn.leftovers.add_all(_all(geometry), aside)


def _all(geometry: Geometry) -> list[DrawnStroke]:
    return [*geometry.strokes, *(one for outline in geometry.outlines for one in outline)]


def _size(shape: Shape) -> str:
    opening = opening_in(shape)
    if opening is None:
        return f"outline {shape.box.width_mm:.4g} x {shape.box.height_mm:.4g} mm"
    long = f" x {opening.long_mm:.5g}" if opening.long_mm else ""
    return f"{opening.feature} {opening.size_mm:.5g}{long} mm"


def _loops(loops: Iterable[list[DrawnStroke]], leftovers: Leftovers) -> list[Shape]:
    found = []
    for loop in loops:
        shape = loop_shape(loop)
        if shape is None:
            leftovers.add_all(loop, "not read: it encloses nothing, or runs over itself")
        else:
            found.append(shape)
    return found


def _gap(near: NearlyClosed, *, is_closed: bool) -> Aside:
    at = f"{near.gap_mm:.3g} mm at x {near.at.real:.4g}, y {near.at.imag:.4g}"
    if is_closed:
        return Aside("gap", f"closed over a gap of {at}")
    return Aside("gap", f"{_LOOSE}, only over a gap of {at}", "gaps")


def _leave(leftovers: Leftovers, chains: Chains) -> None:
    leftovers.add_all(chains.twice, TWICE)
    leftovers.add_all(chains.short, _SHORT)
    leftovers.add_all(chains.loose, _LOOSE)
    leftovers.add_all(chains.branching, _BRANCHING)
