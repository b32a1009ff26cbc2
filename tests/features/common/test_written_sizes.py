"""No plate is ever read wrong: however a size is spelt it is read exactly, or it is refused."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from random import Random

import pytest

from crib.errors import BadInput, BadPhrase
from crib.features.common.ask import Ask
from crib.features.common.plate_phrase import Reading
from crib.features.registry import read_phrase
from crib.trade.metal.materials import known_materials
from crib.units import System
from tests.features.bench import IN, MM, mm
from tests.features.written import Written, any_size

READINGS = {"in": IN, "mm": MM}
FEW, MANY = 4_000, 50_000
"""Phrases for each of the two units, in every run and in the long one."""
NAMES = [name for one in known_materials() for name in (one.name, *one.aliases)]


@dataclass(frozen=True)
class Form:
    """A kind of phrase: how it is written from three sizes, and which of them it then holds."""

    text: Callable[[str, str, str], str]
    sizes: Callable[[float, float, float], tuple[float, ...]]
    keys: tuple[str, ...]


def _one(word: str) -> Form:
    return Form(
        lambda a, _b, t: f"{word} {a} thru {t}",
        lambda a, _b, t: (a, t),
        ("size_mm", "thickness_mm"),
    )


def _two(word: str, long: str = "length_mm", *, ordered: bool = True) -> Form:
    return Form(
        lambda a, b, t: f"{word} {a} x {b} thru {t}",
        lambda a, b, t: (*(sorted((a, b)) if ordered else (a, b)), t),
        ("size_mm", long, "thickness_mm"),
    )


FORMS = (
    _one("hole"),
    _one("square"),
    _one("hexagon"),
    _one("vee"),
    _two("slot"),
    _two("rectangle"),
    _two("notch", "depth_mm", ordered=False),
    _two("corner", "depth_mm", ordered=False),
    Form(lambda a, _b, _t: f"cut round {a}", lambda a, _b, _t: (a,), ("diameter_mm",)),
    Form(
        lambda a, _b, t: f"cut flat {a} x {t}",
        lambda a, _b, t: (max(a, t), min(a, t)),
        ("width_mm", "thickness_mm"),
    ),
    Form(
        lambda a, b, t: f"bend {a} x {t} at 90 flange {b}",
        lambda a, b, t: (a, b, t),
        ("length_mm", "flange_mm", "thickness_mm"),
    ),
    Form(lambda a, _b, t: f"hole {a} {t}", lambda a, _b, t: (a, t), ("size_mm", "thickness_mm")),
    Form(
        lambda a, _b, t: f"{a} hole {t} plate",
        lambda a, _b, t: (a, t),
        ("size_mm", "thickness_mm"),
    ),
    Form(
        lambda a, b, t: f"{a} x {b} slot through {t}",
        lambda a, b, t: (min(a, b), max(a, b), t),
        ("size_mm", "length_mm", "thickness_mm"),
    ),
    Form(
        lambda a, b, t: f"square {a} thru {t} edge {b}",
        lambda a, b, t: (a, b, t),
        ("size_mm", "edge_mm", "thickness_mm"),
    ),
    Form(lambda a, _b, _t: f"point {a}", lambda a, _b, _t: (a,), ("size_mm",)),
)


Sizes = tuple[Written, Written, Written]


def drawn(draw: Random, system: System, count: int) -> Iterator[tuple[str, Form, Sizes, str]]:
    """Phrases with the sizes and the material that were meant."""
    for number in range(count):
        form = FORMS[number % len(FORMS)]
        sizes = any_size(draw, system), any_size(draw, system), any_size(draw, system)
        first, second, third = (size.text for size in sizes)
        material = draw.choice(NAMES) if draw.random() < 0.7 else ""
        yield f"{form.text(first, second, third)} {material}".rstrip(), form, sizes, material


def holds(ask: Ask, form: Form, sizes: Sizes, material: str) -> bool:
    """Whether an ask holds exactly the sizes and the material that were meant."""
    told = ask.as_json()
    if told.get("shape") == "square":  # a rectangle of equal sides: as long as it is wide
        told.setdefault("length_mm", told["size_mm"])
    meant = form.sizes(*(size.mm for size in sizes))
    named = IN.rules.material(material) if material else ask.plate.material
    return (
        tuple(told[key] for key in form.keys) == meant
        and ask.plate.material == named
        and ask.plate.assumed == (not material)
    )


@pytest.mark.parametrize("count", [FEW, pytest.param(MANY, marks=pytest.mark.audit)])
@pytest.mark.parametrize("system", ["in", "mm"])
def test_every_spelling_is_read_exactly_or_refused(system: System, count: int) -> None:
    read, wrong = 0, []
    for text, form, sizes, material in drawn(Random(f"{count} in {system}"), system, count):
        ask = None
        with suppress(BadInput):
            ask = read_phrase(text, READINGS[system])
        if ask is not None:
            read += 1
            if not holds(ask, form, sizes, material):
                wrong.append((text, ask.phrase(system)))
    assert wrong == []
    assert read > count / 4


@pytest.mark.parametrize(
    ("size", "inches"),
    [
        ("1 3/16", "1-3/16"),
        ("1 3 / 16", "1-3/16"),
        ("1 3/ 16", "1-3/16"),
        ("1 3 /16", "1-3/16"),
        ("1 3⁄16", "1-3/16"),
        ("1 3 ⁄ 16", "1-3/16"),
        ("1 3∕16", "1-3/16"),
        ("1-3⁄16 in", "1-3/16"),
        ('1- 3/16"', "1-3/16"),
        ("1–3/16", "1-3/16"),
        ("1³⁄₁₆", "1-3/16"),
        ("1 ³/₁₆ in", "1-3/16"),
        ("½", "1/2"),
        ("1½", "1-1/2"),
        ("1 ½", "1-1/2"),
        ("2 ½ in", "2-1/2"),
        ("2-½", "2-1/2"),
        ("1-1/2", "1-1/2"),
        ("2 10 / 20", "2-1/2"),
        ("3 / 8", "3/8"),
        ("3/ 8 in", "3/8"),
    ],
)
@pytest.mark.parametrize("reading", [IN, MM], ids=["in", "mm"])
def test_every_way_to_write_a_fraction_reads_alike(
    size: str, inches: str, reading: Reading
) -> None:
    for text in (f"hole 13/16 thru {size} 304", f"hole 13/16 thru {size}"):
        assert read_phrase(text, reading).plate.thickness_mm == mm(inches)
    assert read_phrase(f"hole {size} thru 3/8 304", reading).as_json()["size_mm"] == mm(inches)
    assert read_phrase(f"cut flat 4 in x {size} 316", reading).plate.thickness_mm == mm(inches)
    assert read_phrase(f"slot {size}x4in thru 3/8", reading).as_json()["size_mm"] == mm(inches)


@pytest.mark.parametrize(
    "plate",
    [
        "0.5 3/16",
        "1 3-16",
        "1 3 16",
        "1 - 3/16",
        "1 -3/16",
        "1 in 3/16",
        "5/8 3/04",
        "5/8 3 04",
        "5/8 3-04",
        "3/8 .304",
        "3/8 -304",
        "3. 04",
        "1. 304",
        "1 .304",
        "1, 304",
        "1 ,304",
        "10 1 4301",
        "2 10 20",
        "1 3÷16",
        "1 3:16",
        "1 3／16",
        "1 3 / 16 / 2",
        "1 1 020",
    ],
)
@pytest.mark.parametrize("reading", [IN, MM], ids=["in", "mm"])
@pytest.mark.parametrize("before", ["hole 13/16 thru", "cut flat 40 x", "bend 90 x"])
def test_a_material_is_never_the_rest_of_a_number(
    before: str, plate: str, reading: Reading
) -> None:
    for behind in ("", " at 90", " A36"):
        with pytest.raises(BadPhrase) as caught:
            read_phrase(f"{before} {plate}{behind}", reading)
        assert caught.value.end > len(before)


@pytest.mark.parametrize(
    ("plate", "inches", "material"),
    [
        ("3/8 304", "3/8", "304"),
        ("1 316", "1", "316"),
        ("1 in 1020", "1", "1020"),
        ("1-3/16 1.4301", "1-3/16", "304"),
        ("1 3/16 316L", "1-3/16", "316L"),
        ("½ 1018 HR", "1/2", "1018-HR"),
    ],
)
def test_a_number_that_is_a_material_is_read_right_behind_the_size(
    plate: str, inches: str, material: str
) -> None:
    found = read_phrase(f"hole 13/16 thru {plate}", IN).plate
    assert (found.thickness_mm, found.material.name) == (mm(inches), material)
