"""What may stand in the places of a phrase: what the crib has and works with comes first."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from crib.errors import BadInput, UnknownName
from crib.features.common.ask import FeatureKind
from crib.features.common.phrase_form import PhraseForm
from crib.features.common.sizes import clean_text, size_word
from crib.features.registry import phrase_forms
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.stock.queries.own_sizes import OwnSize, own_plates, own_sizes
from crib.trade.metal.bolt_holes import bolts_of
from crib.trade.metal.materials import known_materials
from crib.trade.metal.pipes import SCHEDULES, known_pipe_sizes, pipe_of_outside
from crib.trade.shop.shop_rules import Rules
from crib.units import read_gauge, read_length_mm

MOST_SIZES = 36
"""Keys that a hand finds its way among; those whose tools did most are shown."""
MOST_PLATES = 12
_SAME_MM = 1e-6
_PLATES = {"thickness": math.inf, "wall": 6.5}
"""Places for a plate or a wall, and the thickest that is usual there [mm]; from memory."""
_COMMON_SCHEDULES = SCHEDULES[1:4]


@dataclass(frozen=True, slots=True)
class PlaceChoice:
    """Something that may stand in a place: as the phrase says it, and as people read it."""

    word: str
    text: str


def form_called(name: str) -> tuple[PhraseForm, FeatureKind]:
    """A form of a phrase with its kind.

    Raises:
        UnknownName: for a name that no form has.
    """
    found = phrase_forms().get(name)
    if found is None:
        message = f"no shape called {name[:40]!r}"
        raise UnknownName(message, way_out=f"known: {', '.join(phrase_forms())}")
    return found


def place_choices(
    session: Session, name: str, slot: str, said: Mapping[str, str]
) -> tuple[PlaceChoice, ...]:
    """What the crib offers for a place of a form, in the order of its size; may be empty.

    ``said`` is what stands in the places before: the long side goes with the width that was said.

    Raises:
        UnknownName: for a name that no form has.
    """
    form, kind = form_called(name)
    rules = shop_rules(session)
    if slot in _TABLES:
        return tuple(PlaceChoice(word, text) for word, text in _TABLES[slot](rules))
    if slot == "material":
        return tuple(PlaceChoice(one, one) for one in _grades(session, rules))
    if slot in _PLATES:
        plates = (one for one, _material in own_plates(session) if one <= _PLATES[slot])
        return tuple(_sizes(list(dict.fromkeys(plates))[:MOST_PLATES], rules))
    if slot == "pipe":
        return tuple(PlaceChoice(one, f"{one} in") for one in _pipes(session, kind))
    return tuple(_own(session, kind, form, slot, said, rules))


def every_grade(session: Session) -> tuple[str, ...]:
    """Every grade that a phrase may name, the shop's own first."""
    own = (one.name for one in shop_rules(session).own)
    return tuple(dict.fromkeys((*own, *(one.name for one in known_materials()))))


def check_place(session: Session, slot: str, word: str) -> None:
    """Refuse at once a size that a phrase could not say.

    Raises:
        BadQuantity: for a size that cannot be read.
    """
    if slot in (*_TABLES, "pipe", "material"):
        return
    if slot in _PLATES and read_gauge(word) is not None:
        return
    read_length_mm(word, shop_rules(session).system)


def _own(
    session: Session,
    kind: FeatureKind,
    form: PhraseForm,
    slot: str,
    said: Mapping[str, str],
    rules: Rules,
) -> Iterator[PlaceChoice]:
    """The sizes of the tools that make it."""
    tool = next((one for one in kind.tools if not one.mounted), None)
    if tool is None or slot not in ("width", "long", "depth"):
        return
    shape = form.shape or next(iter(tool.shapes), "")
    sizes = own_sizes(session, tool, shape)
    if slot != "width" and said.get("width"):
        sizes = _beside(sizes, said["width"], rules)
    found = (getattr(one, f"{slot}_mm") for one in sizes)
    yield from _sizes((one for one in found if one is not None), rules)


def _beside(sizes: list[OwnSize], width: str, rules: Rules) -> list[OwnSize]:
    """The sizes of one width, where there are any."""
    try:
        wanted_mm = read_length_mm(width, rules.system)
    except BadInput:
        return sizes
    return [one for one in sizes if abs(one.width_mm - wanted_mm) <= _SAME_MM] or sizes


def _sizes(sizes_mm: Iterable[float], rules: Rules) -> Iterator[PlaceChoice]:
    """The first of some sizes, each once, in the order of size."""
    system = rules.system
    for size_mm in sorted(list(dict.fromkeys(sizes_mm))[:MOST_SIZES]):
        yield PlaceChoice(size_word(size_mm, system), clean_text(size_mm, system))


def _grades(session: Session, rules: Rules) -> Iterator[str]:
    """The shop's own grades and those it works, the most frequent first."""
    worked = (material for _thickness, material in own_plates(session))
    yield from dict.fromkeys((*worked, *(one.name for one in rules.own)))


def _pipes(session: Session, kind: FeatureKind) -> Iterable[str]:
    """The pipes that the sets are for, else all."""
    own = {
        pipe.nps
        for tool in kind.tools
        for size in own_sizes(session, tool, tool.shapes[0])
        for pipe in pipe_of_outside(size.width_mm)[:1]
    }
    return [one for one in known_pipe_sizes() if not own or one in own]


def _bolts(rules: Rules) -> Iterator[tuple[str, str]]:
    metric = rules.system == "mm"
    standard = rules.text("bolt.standard_metric" if metric else "bolt.standard_inch")
    for bolt in bolts_of(standard):
        if bolt.startswith("M") == metric:
            yield bolt, bolt if metric else f"{bolt} in"


def _schedules(_rules: Rules) -> Iterator[tuple[str, str]]:
    return ((one, f"sch {one}") for one in _COMMON_SCHEDULES)


def _angles(_rules: Rules) -> Iterator[tuple[str, str]]:
    return ((f"{one}", f"{one}°") for one in (30, 45, 60, 90, 120, 135))


_TABLES: Mapping[str, Callable[[Rules], Iterator[tuple[str, str]]]] = {
    "bolt": _bolts,
    "schedule": _schedules,
    "angle": _angles,
}
