"""Random asks with their own numbers: a phrase for the program, sizes [mm] for the checker."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from random import Random
from typing import Any

INCH = 25.4


@dataclass(frozen=True)
class AuditAsk:
    """What is asked: a phrase, what is known around it, and its sizes [mm] by their names."""

    phrase: str
    sort: str
    material: str
    thickness_mm: float
    sizes: dict[str, Any] = field(default_factory=dict)
    facts: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Shop:
    """What a shop's people say: sizes in its own unit, the materials and bolts that it knows."""

    system: str
    materials: tuple[str, ...]
    thicknesses: tuple[Fraction | int, ...]
    widths: tuple[Fraction | int, ...]
    bolts: dict[str, float]

    def mm(self, size: Fraction | float) -> float:
        """A size of the shop in mm."""
        return float(size) * INCH if self.system == "in" else float(size)

    def words(self, size: Fraction | float) -> str:
        """A size as it is typed."""
        if self.system == "mm" or not isinstance(size, Fraction):
            return f"{float(size):g}{self.system}"
        whole, rest = divmod(size, 1)
        said = f"{whole}-{rest}" if whole and rest else str(whole or rest)
        return said if rest else f"{said}in"


def _inches(*sizes: str) -> tuple[Fraction, ...]:
    return tuple(sum((Fraction(part) for part in size.split("-")), Fraction(0)) for size in sizes)


INCH_SHOP = Shop(
    "in",
    ("A36", "A36", "A36", "A572-50", "A992", "304", "6061-T6", "A514", "AR400"),
    _inches("1/8", "3/16", "1/4", "5/16", "3/8", "1/2", "5/8", "3/4", "1"),
    _inches(*"1/4 5/16 3/8 7/16 1/2 9/16 5/8 11/16 3/4 13/16 7/8 15/16 1 1-1/16 1-3/16".split()),
    {"1/2": 9 / 16 * INCH, "5/8": 11 / 16 * INCH, "3/4": 13 / 16 * INCH, "7/8": 15 / 16 * INCH},
)
METRIC_SHOP = Shop(
    "mm",
    ("S275", "S275", "S275", "S355", "S235", "304", "6061-T6"),
    (3, 4, 5, 6, 8, 8, 10, 10, 12, 15, 20, 25),
    (9, 10, 11, 12, 13, 14, 14, 16, 18, 18, 20, 22, 22, 24, 26, 30, 33),
    {"M16": 18.0, "M20": 22.0},
)
SHOPS = {"in": INCH_SHOP, "mm": METRIC_SHOP}


def random_ask(random: Random, shop: Shop) -> AuditAsk:
    """One ask; seven in ten are of punched holes."""
    make = random.choice(_PUNCHED) if random.random() < 0.7 else random.choice(_OTHERS)
    return make(random, shop)


def _plate(random: Random, shop: Shop) -> tuple[str, str, float]:
    """The words of a plate, its material and thickness."""
    thickness, material = random.choice(shop.thicknesses), random.choice(shop.materials)
    return f"thru {shop.words(thickness)} {material}", material, shop.mm(thickness)


def _facts(random: Random) -> dict[str, Any]:
    facts: dict[str, Any] = {}
    if random.random() < 0.2:
        facts["quantity"] = random.choice([2, 30, 500, 4000])
    if random.random() < 0.2:
        facts["appearance"] = random.choice(["finish", "rough"])
    return facts


def _punched(
    random: Random, shop: Shop, word: str, shape: str, sizes: list[Fraction | float]
) -> AuditAsk:
    plate, material, thickness_mm = _plate(random, shop)
    told = " x ".join(shop.words(size) for size in sizes)
    width, long = min(sizes), max(sizes)
    known: dict[str, Any] = {"shape": shape, "width": shop.mm(width), "long": shop.mm(long)}
    place, more = _place(random, shop, is_long=long > width)
    if long == width:
        allowed, sides = _tolerance(random)
        told, more = f"{told}{allowed}", more | sides
    if shape == "round" and random.random() < 0.15:
        place, more = f"{place} ream", more | {"ream": True}
    phrase = f"{word} {told} {plate}{place}"
    return AuditAsk(phrase, "punch", material, thickness_mm, known | more, _facts(random))


def _tolerance(random: Random) -> tuple[str, dict[str, Any]]:
    """How far the drawing lets a hole be off, for one in four [mm]."""
    if random.random() < 0.75:
        return "", {}
    plus, minus = random.choice([(0.5, 0.0), (0.8, 0.8), (0.02, 0.02), (0.0, 0.4), (3.2, 3.0)])
    return f" +{plus}mm -{minus}mm", {"plus": plus, "minus": minus}


def _place(random: Random, shop: Shop, *, is_long: bool) -> tuple[str, dict[str, Any]]:
    """Where the hole stands in the piece, for one in three; of a long one also how it lies."""
    said, known = "", dict[str, Any]()
    if is_long and random.random() < 0.3:
        known["lying"] = random.choice(["along", "across"])
        said += f" {known['lying']}"
    if random.random() < 0.35:
        for word in random.sample(["edge", "end", "pitch"], random.randint(1, 2)):
            size = random.choice([1, 2, 3, 5, 8, 11, 13, 19, 25])
            size_of_shop = size if shop.system == "in" else size * 25
            sideways = is_long and random.random() < 0.5
            known[word] = (shop.mm(size_of_shop), sideways)
            said += f" {word} {shop.words(size_of_shop)}{' sideways' if sideways else ''}"
    return said, known


def _hole(random: Random, shop: Shop) -> AuditAsk:
    return _punched(random, shop, "hole", "round", [random.choice(shop.widths)])


def _bolt(random: Random, shop: Shop) -> AuditAsk:
    bolt = random.choice([*shop.bolts])
    plate, material, thickness_mm = _plate(random, shop)
    hole_mm = shop.bolts[bolt]
    known: dict[str, Any] = {"shape": "round", "width": hole_mm, "long": hole_mm}
    # RCSC lets a hole be 1/32 in over, EN 1090-2 0.5 mm off; beside what the shop calls the same.
    sides = (INCH / 32, 0.05) if shop.system == "in" else (0.5, 0.5)
    known |= {"plus": sides[0], "minus": sides[1], "by_standard": True}
    return AuditAsk(f"bolt {bolt} {plate}", "punch", material, thickness_mm, known, _facts(random))


def _square(random: Random, shop: Shop) -> AuditAsk:
    return _punched(random, shop, "square", "square", [random.choice(shop.widths)])


def _hexagon(random: Random, shop: Shop) -> AuditAsk:
    return _punched(random, shop, "hexagon", "hexagon", [random.choice(shop.widths)])


def _rectangle(random: Random, shop: Shop) -> AuditAsk:
    sizes: list[Fraction | float] = [*random.sample(shop.widths, 2)]
    if random.random() < 0.4:
        sizes = [sizes[0], max(sizes) * random.choice([2, 3])]
    shape = "square" if min(sizes) == max(sizes) else "rectangle"
    return _punched(random, shop, "rectangle", shape, [min(sizes), max(sizes)])


def _slot(random: Random, shop: Shop) -> AuditAsk:
    width = random.choice(shop.widths)
    long: Fraction | float
    if shop.system == "in":
        long = width + random.choice(_inches("3/16", "5/16", "7/16", "1-1/16", "1-3/16", "3"))
    else:
        long = width + random.choice([4, 4, 10, 16, 18, 22, 28, 33, 60])
    return _punched(random, shop, "slot", "obround", [width, long])


def _notch(random: Random, shop: Shop) -> AuditAsk:
    wide, deep = (_about(random, shop, (1, 2, 3, 4, 5, 7)) for _side in range(2))
    plate, material, thickness_mm = _plate(random, shop)
    known = {"profile": "notch", "width": shop.mm(wide), "depth": shop.mm(deep)}
    phrase = f"notch {shop.words(wide)} x {shop.words(deep)} {plate}"
    return AuditAsk(phrase, "set", material, thickness_mm, known, _facts(random))


def _corner(random: Random, shop: Shop) -> AuditAsk:
    wide, deep = (_about(random, shop, (1, 2, 3, 4, 5)) for _side in range(2))
    plate, material, thickness_mm = _plate(random, shop)
    known = {"profile": "corner", "width": shop.mm(wide), "depth": shop.mm(deep)}
    phrase = f"corner {shop.words(wide)} x {shop.words(deep)} {plate}"
    return AuditAsk(phrase, "set", material, thickness_mm, known, _facts(random))


def _vee(random: Random, shop: Shop) -> AuditAsk:
    wide = _about(random, shop, (1, 1.5, 2, 2.5))
    plate, material, thickness_mm = _plate(random, shop)
    known = {"profile": "vee", "width": shop.mm(wide), "depth": shop.mm(wide) / 2}
    phrase = f"vee {shop.words(wide)} {plate}"
    return AuditAsk(phrase, "set", material, thickness_mm, known, _facts(random))


def _cut(random: Random, shop: Shop) -> AuditAsk:
    material = random.choice(shop.materials)
    thick = random.choice(shop.thicknesses)
    sort = random.choice(["flat", "plate", "round", "square", "angle"])
    if sort in ("round", "square"):
        bar = random.choice(shop.widths)
        known = {"operation": f"cut {sort}", "size": shop.mm(bar), "thickness": shop.mm(bar)}
        phrase = f"cut {sort} {shop.words(bar)} {material}"
        return AuditAsk(phrase, "cut", material, shop.mm(bar), known, _facts(random))
    # An angle's leg is longer than the thickest of the plates.
    size = _about(random, shop, (2, 3, 4, 6) if sort == "angle" else (1, 2, 3, 4, 6, 10, 14))
    known = {"operation": f"cut {sort}", "size": shop.mm(size), "thickness": shop.mm(thick)}
    legs = f"{shop.words(size)} x " if sort == "angle" else ""
    phrase = f"cut {sort} {legs}{shop.words(size)} x {shop.words(thick)} {material}"
    return AuditAsk(phrase, "cut", material, shop.mm(thick), known, _facts(random))


def _bend(random: Random, shop: Shop) -> AuditAsk:
    thick, material = random.choice(shop.thicknesses), random.choice(shop.materials)
    long, flange = (_about(random, shop, sizes) for sizes in ((2, 6, 10, 14), (1, 2, 3)))
    phrase = (
        f"bend {shop.words(long)} x {shop.words(thick)} at 90 flange {shop.words(flange)}"
        f" {material}"
    )
    known = {"length": shop.mm(long), "flange": shop.mm(flange)}
    return AuditAsk(phrase, "bend", material, shop.mm(thick), known, _facts(random))


PIPES = {"3/4": (1.05, 0.113), "1": (1.315, 0.133), "1-1/4": (1.66, 0.140), "1-1/2": (1.9, 0.145)}
"""Outside and schedule 40 wall [in] (ASME B36.10M)."""


def _saddle(random: Random, shop: Shop) -> AuditAsk:
    pipe, (outside, wall) = random.choice([*PIPES.items()])
    known = {"outside": outside * INCH, "wall": wall * INCH}
    material = random.choice(["A53-B", "304"])
    phrase = f"saddle {pipe}in pipe sch 40 {material}"
    return AuditAsk(phrase, "saddle", material, wall * INCH, known, _facts(random))


def _point(random: Random, shop: Shop) -> AuditAsk:
    size, material = random.choice(shop.widths), random.choice(shop.materials)
    phrase = f"point {shop.words(size)} {material}"
    known = {"shape": "square", "width": shop.mm(size)}
    return AuditAsk(phrase, "point", material, shop.mm(size), known, _facts(random))


def _about(random: Random, shop: Shop, inches: tuple[float, ...]) -> Fraction | float:
    size = random.choice(inches)
    return Fraction(size) if shop.system == "in" else size * 25


Maker = Callable[[Random, Shop], AuditAsk]
_PUNCHED: tuple[Maker, ...] = (_hole, _hole, _hole, _bolt, _square, _hexagon, _rectangle, _slot)
_OTHERS: tuple[Maker, ...] = (_notch, _corner, _vee, _cut, _cut, _bend, _bend, _saddle, _point)
