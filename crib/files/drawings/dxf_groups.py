"""The shapes of a drawing sorted to parts: what is an outline, what lies in it, what is no part."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import chain

from crib.acts import Fact, Said, act, fact, saying
from crib.files.drawings.dxf_nesting import (
    Nesting,
    named,
    nested,
    overlap_error,
    spoiled_error,
)
from crib.files.drawings.dxf_shapes import Shape
from crib.files.drawings.dxf_sheet import Sheet, has_words, sheet_of
from crib.files.drawings.dxf_views import Views, views_of
from crib.files.drawings.parts import OUTSIDE, ReadNote

_INSIDE = "inside another opening"
_OVER = "over the edge of the outline"


@dataclass(slots=True)
class Group:
    """A part being made: its outline, if it has one, and the shapes that belong to it."""

    outline: Shape | None
    inner: list[tuple[Shape, str]] = field(default_factory=list)


@dataclass(slots=True)
class Groups:
    """The parts of a drawing, what is set aside and why, and what a person should know."""

    parts: list[Group]
    aside: list[tuple[Shape, Fact]] = field(default_factory=list)
    notes: list[ReadNote] = field(default_factory=list)


def groups_of(
    shapes: Sequence[Shape], file: str, texts: Sequence[complex], taken: frozenset[str]
) -> Groups:
    """Sort shapes to parts.

    Args:
        shapes: Every closed shape of the drawing once.
        file: The drawing's name, for messages.
        texts: Where words stand in it.
        taken: What somebody wants taken that would be set aside.

    Raises:
        BadInput: for an outline that runs over itself or another.
        AskBack: when outlines may be views of one part or parts.
    """
    nesting = nested(shapes, file)
    sheet = Sheet() if "frame" in taken else sheet_of(shapes, nesting, texts)
    found = Groups([])
    _set_sheet_aside(shapes, sheet, found)
    gone = sheet.all
    within = nesting.within
    if gone:
        within = [[outer for outer in outers if outer not in gone] for outers in within]
    over = _checked(shapes, nesting, within, gone, file)
    _group(shapes, within, over, gone, texts, taken, file, found)
    return found


def _checked(
    shapes: Sequence[Shape],
    nesting: Nesting,
    within: Sequence[Sequence[int]],
    gone: set[int],
    file: str,
) -> dict[int, int]:
    """The circles that run over an outline, and which; other outlines must not."""
    for n, place in nesting.spoiled.items():
        if not within[n]:
            raise spoiled_error(shapes[n], place, file)
    over: dict[int, int] = {}
    for one, two in nesting.crossing:
        if {one, two} & gone or (within[one] and within[two]):
            continue
        if not shapes[two].is_circle:
            raise overlap_error(shapes, one, two, file)
        if not within[two]:
            over[two] = one
    return over


def _group(
    shapes: Sequence[Shape],
    within: Sequence[Sequence[int]],
    over: dict[int, int],
    gone: set[int],
    texts: Sequence[complex],
    taken: frozenset[str],
    file: str,
    found: Groups,
) -> None:
    alone = [n for n in range(len(shapes)) if n not in gone and not within[n]]
    holding = {outers[0] for outers in within if outers}
    # A circle with nothing in it is a hole, wherever it is; with something in it, a disc.
    outlines = [n for n in alone if not shapes[n].is_circle or n in holding]
    holes = [0] * len(shapes)
    for outer in chain.from_iterable(within):
        holes[outer] += 1
    views = views_of(outlines, shapes, holes, taken, file)
    _set_views_aside(shapes, within, views, found)
    groups = {n: Group(shapes[n]) for n in outlines if n not in views.all}
    strays = [n for n in alone if n not in groups and n not in views.all]
    for n, remark, outer in _places(shapes, strays, over, texts, groups, found):
        groups.setdefault(outer, Group(None)).inner.append((shapes[n], remark))
    for n, outers in enumerate(within):
        if outers and outers[0] in groups:
            groups[outers[0]].inner.append((shapes[n], _INSIDE if len(outers) > 1 else ""))
    found.parts = list(groups.values())


def _places(
    shapes: Sequence[Shape],
    strays: Sequence[int],
    over: dict[int, int],
    texts: Sequence[complex],
    groups: dict[int, Group],
    found: Groups,
) -> Iterator[tuple[int, str, int]]:
    """To which outline each circle that lies in none belongs, with the remark for it."""
    first = next(iter(groups), None)
    if first is None and strays:
        text = "no outline: the places are counted from the leftmost and lowest hole"
        found.notes.append(ReadNote(shapes[strays[0]].source.line, text))
    for n in strays:
        circle = shapes[n]
        if n in over and over[n] in groups:
            yield n, _OVER, over[n]
        elif first is None:
            yield n, "", strays[0]
        elif has_words(circle, texts):
            found.aside.append((circle, fact("read.balloon")))
            text = f"{named(circle)}: words stand in it, no hole but a balloon, left out"
            found.notes.append(ReadNote(circle.source.line, text))
        else:
            yield n, OUTSIDE, first


def _set_sheet_aside(shapes: Sequence[Shape], sheet: Sheet, found: Groups) -> None:
    way_out = saying("to take it as a part say ", act("say.take", take="frame"))
    for n in sheet.frames:
        found.aside.append((shapes[n], fact("read.frame")))
        text = f"{named(shapes[n])}: left out as the frame of the sheet"
        found.notes.append(ReadNote(shapes[n].source.line, text, way_out))
    for n in sheet.fields:
        found.aside.append((shapes[n], fact("read.title-block")))
    if sheet.fields:
        count = len(sheet.fields)
        word = "field" if count == 1 else "fields"
        text = f"{count} {word} of a title block left out, such as {named(shapes[sheet.fields[0]])}"
        found.notes.append(ReadNote(shapes[sheet.fields[0]].source.line, text))


def _set_views_aside(
    shapes: Sequence[Shape], within: Sequence[Sequence[int]], views: Views, found: Groups
) -> None:
    for n in views.all:
        held = [inner for inner, outers in enumerate(within) if n in outers]
        for one in (n, *held):
            found.aside.append((shapes[one], fact("read.view")))
        line, taken = shapes[n].source.line, named(shapes[views.taken])
        if n in views.edges:
            text = f"{named(shapes[n])}: left out as the edge of {taken}"
            found.notes.append(ReadNote(line, text, _edge_way_out(views.edges[n])))
        else:
            text = f"{named(shapes[n])}: left out as a view of {taken}, with {len(held)} shapes"
            found.notes.append(ReadNote(line, f"{text} in it"))


def _edge_way_out(thick_mm: float) -> Said:
    thick = act("say.thickness", thickness=f"{round(thick_mm, 3):g}mm")
    return saying(
        "a part of its own? say ", act("say.take", take="views"), "; its thickness? ", thick
    )
