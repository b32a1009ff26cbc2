"""Why no question finds a tool, in the shell's words; and what to enter so that one does."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from crib.wording.parts import Words

_FIGURES = {
    "depth_mm": "depth",
    "angle_deg": "angle",
    "header_mm": "header",
    "least_wall_mm": "least wall",
    "most_wall_mm": "most wall",
    "work_length_mm": "work length",
    "rated_force_n": "rated force",
}


def _spoken(word: str) -> str:
    return word.replace("_", " ")


def _accessory() -> Words:
    return "no feature asks for it; `crib stock` lists it", ""


def _adapter() -> Words:
    return "an adapter needs the seat it fits and the seat it presents", ""


def _adapter_fits(seat: str) -> Words:
    return f"no station in service takes seat {seat}", ""


def _adapter_same(seat: str) -> Words:
    return f"an adapter that fits seat {seat} presents another one", ""


def _figures(lacking: tuple[str, ...]) -> Words:
    names = " and ".join(_FIGURES.get(name, name) for name in lacking)
    return f"every ask is refused until its {names} {_is(lacking)} entered", ""


def _is(names: tuple[str, ...]) -> str:
    return "is" if len(names) == 1 else "are"


def _kept_for(material: str, known: tuple[str, ...]) -> Words:
    families = ", ".join(map(_spoken, known))
    return f"kept for {material!r}, which is no family of materials", f": {families}"


def _long(shape: str) -> Words:
    return f"{shape}: its long side must be longer than its size", "; else it is square or round"


def _made_for(role: str, made_for: str, known: tuple[str, ...]) -> Words:
    name, some = _spoken(role), ", ".join(known)
    if known == ("",):
        return f"a {name} is asked for by its shape alone: it is made for no one thing", ""
    other = f"; a {name} that no feature asks for has the role other"
    if not made_for:
        return f"a {name} is found by what it is made for: {some}", other
    return f"no feature asks for a {name} made for {made_for}: {some}", other


def _no_seat(seat: str, work: str) -> Words:
    return f"no station that does {_spoken(work)} work takes seat {seat}, by itself or adapter", ""


def _no_station(work: str) -> Words:
    return f"no station in service does {_spoken(work)} work", ""


def _not_mounted(work: str) -> Words:
    return f"a spare: a blade is named where it stands mounted ({_spoken(work)})", ""


def _operation(operation: str, known: tuple[str, ...]) -> Words:
    return f"its list for {operation!r} is read by no rule", f"; lists are for: {', '.join(known)}"


def _other_work(operation: str, does: str) -> Words:
    return f"its list for {operation!r} is never read: the station does {_spoken(does)} work", ""


def _seat(role: str) -> Words:
    return f"a {_spoken(role)} needs the seat it fits", ""


def _shape(role: str, shape: str, known: tuple[str, ...]) -> Words:
    name, some = _spoken(role), ", ".join(known)
    if not shape:
        return f"a {name} needs its shape: {some}", ""
    return f"no feature asks for a {name} of the shape {shape}: {some}", ""


def _size(role: str) -> Words:
    return f"a {_spoken(role)} needs its size", ""


REACH: Mapping[str, Callable[..., Words]] = {
    "reach.accessory": _accessory,
    "reach.adapter": _adapter,
    "reach.adapter-fits": _adapter_fits,
    "reach.adapter-same": _adapter_same,
    "reach.figures": _figures,
    "reach.kept-for": _kept_for,
    "reach.long": _long,
    "reach.made-for": _made_for,
    "reach.no-seat": _no_seat,
    "reach.no-station": _no_station,
    "reach.not-mounted": _not_mounted,
    "reach.operation": _operation,
    "reach.other-work": _other_work,
    "reach.seat": _seat,
    "reach.shape": _shape,
    "reach.size": _size,
}
