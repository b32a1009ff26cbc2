"""Parts made at random with every feature that the files know, written as NC1, DXF and lists.

What is written is kept beside it: the features with their places, and how many lines or entities
say nothing, or say again what another does.
"""

from __future__ import annotations

from cmath import rect
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from math import atan, degrees, radians
from random import Random
from typing import Any

from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from ezdxf.math import OCS

from tests.files.dxf_text import Corner, Wanted, corners, draw_outline, text_of
from tests.files.nc1_text import contour, nc1

CELL_MM, THICKNESS_MM = 80.0, 6.0
LARGEST_MM = 50.0
CODES = ("B", "I", "U", "C", "T")
VERSIONS = ("R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018")
WAYS = ("plain", "from behind", "block", "nested", "mirrored")
IN_ARRAY = "in the array of another"
_DRAWN = ("hole", "slot", "square", "rectangle", "hexagon")
Placed = tuple[str, float, float, float, float]
"""Feature, size, long side or depth, x and y."""


@dataclass(frozen=True)
class MadeCut:
    """A cut into the edge, by what it takes along the edge and how far it goes in."""

    feature: str
    size: float
    depth: float
    at: complex
    corners: tuple[complex, ...]


@dataclass
class MadePart:
    """A plate with openings and cuts, and how many pieces of it there are to be."""

    width: float
    height: float
    pieces: int
    openings: list[Wanted] = field(default_factory=list)
    cuts: list[MadeCut] = field(default_factory=list)

    @property
    def outline(self) -> list[complex]:
        """Its corners, with the cuts: counter-clockwise from the lower left one."""
        low = [c for cut in self.cuts if cut.at.imag == 0 for c in cut.corners]
        high = [c for cut in self.cuts if cut.feature == "vee" for c in cut.corners]
        gone = [c for cut in self.cuts if cut.feature == "corner" for c in cut.corners]
        right = gone or [complex(self.width, self.height)]
        return [0j, *low, complex(self.width), *right, *high, complex(0, self.height)]

    def placed(self) -> Counter[Placed]:
        """What is to be read, with its place."""
        made: Counter[Placed] = Counter()
        for one in self.openings:
            made[one.feature, one.size, one.long or 0.0, *_place(one.at)] += 1
        for cut in self.cuts:
            made[cut.feature, cut.size, cut.depth, *_place(cut.at)] += 1
        return made

    def sizes(self) -> Counter[tuple[str, float, float]]:
        """What is to be read, by size alone."""
        made: Counter[tuple[str, float, float]] = Counter()
        for (feature, size, other, *_), count in self.placed().items():
            made[feature, size, other] += count
        return made


def _place(at: complex) -> tuple[float, float]:
    return round(at.real, 2), round(at.imag, 2)


def made_part(chance: Random, kinds: Sequence[str] = _DRAWN) -> MadePart:
    """A part of 2 to 5 by 2 or 3 cells, with at most one opening in each, away from its edges."""
    across, up = chance.randint(2, 5), chance.randint(2, 3)
    part = MadePart((across + 1) * CELL_MM, (up + 1) * CELL_MM, chance.randint(1, 40))
    for x in range(1, across + 1):
        for y in range(1, up + 1):
            if chance.random() < 0.7:
                off = complex(chance.randint(-20, 20), chance.randint(-20, 20)) / 4
                part.openings.append(_opening(chance, kinds, CELL_MM * complex(x, y) + off))
    if chance.random() < 0.3:
        part.openings = [one for one in part.openings if one.at.imag > 1.5 * CELL_MM]
        part.openings += _row(_opening(chance, kinds, CELL_MM * (1 + 1j)), across)
    part.cuts += [make(part, chance) for make in (_notch, _corner, _vee) if chance.random() < 0.4]
    return part


def _opening(chance: Random, kinds: Sequence[str], at: complex) -> Wanted:
    feature = chance.choice(kinds)
    size = chance.randint(16, 60) / 2
    long = size + chance.randint(2, 30) / 2 if feature in ("slot", "rectangle") else None
    turned = chance.choice([0.0, 90.0, 30.0, 45.0, 157.5])
    way, mirrored = chance.choice(WAYS), False
    return Wanted(feature, size, long, at, turned, way, mirrored, chance.choice([1.0, 2.0, 0.5]))


def _row(one: Wanted, count: int) -> list[Wanted]:
    """The same opening at every cell of a row: one insert in a drawing, lines of their own else."""
    first = replace(one, way="array", turned_deg=0.0, columns=count)
    at = [one.at + CELL_MM * number for number in range(1, count)]
    return [first, *(replace(first, at=place, way=IN_ARRAY) for place in at)]


def _notch(part: MadePart, chance: Random) -> MadeCut:
    wide, deep, left = chance.randint(10, 60) / 2, chance.randint(6, 30) / 2, 40.0
    box = (complex(left), complex(left, deep), complex(left + wide, deep), complex(left + wide))
    return MadeCut("notch", wide, deep, complex(left + wide / 2), box)


def _corner(part: MadePart, chance: Random) -> MadeCut:
    along, deep = chance.randint(10, 60) / 2, chance.randint(10, 60) / 2
    gone = complex(part.width, part.height)
    box = (gone - 1j * deep, gone - complex(along, deep), gone - along)
    return MadeCut("corner", along, deep, gone, box)


def _vee(part: MadePart, chance: Random) -> MadeCut:
    wide, deep = chance.randint(10, 40) / 1.0, chance.randint(10, 30) / 1.0
    middle = complex(60, part.height)
    tip = (middle + wide / 2, middle - 1j * deep, middle - wide / 2)
    return MadeCut("vee", wide, deep, middle, tip)


@dataclass(frozen=True)
class Written:
    """The text of a file, and how many of its items are merged and told."""

    text: str
    merged: int
    told: int


def as_nc1(part: MadePart, chance: Random) -> Written:
    """The part as NC1: perhaps its web in both views, lines said again, blocks of other things."""
    code = chance.choice(CODES) if not part.cuts else "B"
    views = "vh" if chance.random() < 0.4 else "v"
    blocks: list[list[str]] = []
    merged = 0
    ring = [(c.real, c.imag) for c in (*part.outline, part.outline[0])]
    for view in views:
        blocks.append(contour(ring, face=view))
        for one in part.openings:
            blocks.append(_nc1_opening(one, view))
            merged += (len(blocks[-1]) - 1) * (view == "h")
        merged += len(part.cuts) * (view == "h")
    if part.openings and chance.random() < 0.3:
        blocks.append(_nc1_opening(part.openings[0], "v"))
        merged += len(blocks[-1]) - 1
    told = chance.randint(0, 2)
    blocks += [["KO", "  v 10.00 10.00"], *[["  v 12.00 12.00"]] * (told - 1)] if told else []
    told += 1 if told else 0
    if chance.random() < 0.5:
        blocks.append(["** a remark", ""])
    size = {"length": part.width, "height": part.height, "web": THICKNESS_MM}
    text = nc1(*blocks, code=code, quantity=part.pieces, flange=THICKNESS_MM, **size)
    return Written(text, merged, told)


def _nc1_opening(one: Wanted, view: str) -> list[str]:
    x, y = one.at.real, one.at.imag
    if one.feature == "hole":
        return ["BO", f"  {view} {x:.2f}u {y:.2f} {one.size:.2f} 0.00"]
    if one.feature == "slot":
        reach = (one.long or one.size) - one.size
        first = one.at - rect(reach / 2, radians(one.turned_deg))
        where = f"  {view} {first.real:.4f}u {first.imag:.4f} {one.size:.2f}"
        return ["BO", f"{where} 0.00l {reach:.2f} 0.00 {one.turned_deg:.2f}"]
    ring = [one.at + c * rect(1.0, radians(one.turned_deg)) for c, _ in corners(one)]
    lines = [f"  {view} {c.real:.4f} {c.imag:.4f} 0.00" for c in (*ring, ring[0])]
    return ["IK", *lines]


def as_dxf(part: MadePart, chance: Random) -> Written:
    """The part as a drawing in any version, its openings drawn in any of the ways."""
    with _same_each_time():
        return _as_dxf(part, chance)


def _as_dxf(part: MadePart, chance: Random) -> Written:
    document = new(chance.choice(VERSIONS), units=4)
    model = document.modelspace()
    away = complex(chance.randint(-400, 400), chance.randint(-400, 400))
    outline = [(away + corner, 0.0) for corner in part.outline]
    draw_outline(model, outline, chance.choice(["old polyline", "loose"]))
    twins = 0
    for one in part.openings:
        _draw(document, one, away)
        if one.way == "plain" and one.feature == "hole" and chance.random() < 0.3:
            _draw(document, one, away)
            twins += 1
    told = chance.randint(0, 2)
    for number in range(told):
        model.add_text(f"see {number}", dxfattribs={"insert": (away.real, away.imag)})
    return Written(text_of(document), twins, told)


@contextmanager
def _same_each_time() -> Iterator[None]:
    """Files are written without the hour and the names that the library makes up."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _draw(document: Drawing, one: Wanted, away: complex) -> None:
    """One opening in its own way, which may be a block in a block or seen from behind."""
    model, at = document.modelspace(), away + one.at
    turn = rect(1.0, radians(one.turned_deg))
    if one.way == "plain":
        draw_outline(model, [(at + c * turn, bulge) for c, bulge in corners(one)], _plain(one))
    elif one.way == IN_ARRAY:
        return
    elif one.way == "from behind":
        _from_behind(model, [(at + c * turn, bulge) for c, bulge in corners(one)], one)
    else:
        _in_block(document, one, at)


def _plain(one: Wanted) -> str:
    return "circle" if one.feature == "hole" else "old polyline"


def _from_behind(model: Any, outline: Sequence[Corner], one: Wanted) -> None:
    """Drawn with a negative normal: its own x runs to the left, and arcs turn the other way."""
    normal = (0.0, 0.0, -1.0)
    own = OCS(normal)
    places = [own.from_wcs((c.real, c.imag, 0.0)) for c, _ in outline]
    if one.feature == "hole":
        middle = (places[0] + places[1]) / 2
        model.add_circle(middle, one.size / 2, dxfattribs={"extrusion": normal})
        return
    points = [(p.x, p.y, -bulge) for p, (_, bulge) in zip(places, outline, strict=True)]
    extruded = {"extrusion": normal}
    model.add_polyline2d(points, format="xyb", close=True, dxfattribs=extruded)


def _in_block(document: Drawing, one: Wanted, at: complex) -> None:
    """Inserted scaled and turned; mirrored, from a block in a block, or as an array of one row."""
    small = [(c / one.scale, bulge) for c, bulge in corners(one)]
    inner = document.blocks.new(f"B{len(document.blocks)}")
    draw_outline(inner, small, _plain(one))
    name = inner.name
    if one.way == "nested":
        outer = document.blocks.new(f"B{len(document.blocks)}")
        outer.add_blockref(name, (3.0, 2.0), dxfattribs={"rotation": one.turned_deg})
        own = {"xscale": one.scale, "yscale": one.scale}
        place = at - one.scale * (3 + 2j)
        document.modelspace().add_blockref(outer.name, (place.real, place.imag), dxfattribs=own)
        return
    across = -one.scale if one.way == "mirrored" else one.scale
    own = {"xscale": across, "yscale": one.scale, "rotation": one.turned_deg}
    if one.way == "array":
        own |= {"column_count": one.columns, "row_count": 1, "column_spacing": CELL_MM}
    document.modelspace().add_blockref(name, (at.real, at.imag), dxfattribs=own)


def as_list(part: MadePart, chance: Random) -> str:
    """The part as a list, a line for each size or for each opening."""
    lines = ["mark,phrase,quantity,each"]
    for (feature, size, other), count in part.sizes().items():
        second = f" x {other:g}mm" if other and feature != "vee" else ""
        angle = f" at {degrees(2 * atan(size / 2 / other)):.6f}" if feature == "vee" else ""
        phrase = f"{feature} {size:g}mm{second} thru {THICKNESS_MM:g}mm S275{angle}"
        own = [count] if chance.random() < 0.5 else [1] * count
        lines += [f"P-1,{phrase},{part.pieces},{each}" for each in own]
    return "\n".join(lines) + "\n"
