"""What a set, a brake tool or a blade is and is for, in words, by what it is made for."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from crib.features.common.order_sizes import counted_tools, ordered_size, word_for, written_size
from crib.features.common.sizes import clean_pair, decimal_text
from crib.features.common.speech import Speech
from crib.features.common.tool_spec import ToolSpec
from crib.features.common.tooling import CUT_FROM_AN_EDGE, EnvelopeRow
from crib.units import System

PAIR = ("punch", "die")
_MATCHED = {
    **dict.fromkeys(CUT_FROM_AN_EDGE, "punch and die sides matched as one set"),
    "saddle": "both halves matched",
    "tube": "upper and lower matched",
    "picket": "upper and lower matched",
}


def name_of(spec: ToolSpec, quantity: int = 1) -> str:
    """What it is called: ``punch``, ``notch set``, ``vee die``, ``flat shear blade``."""
    if spec.role in ("set", "blade") and spec.profile:
        kind = "shear " if spec.role == "blade" else ""
        return f"{spec.profile} {kind}{word_for(spec.role, quantity)}"
    if spec.role == "brake_tool" and spec.profile:
        return f"{spec.profile}{'s' if quantity > 1 else ''}"
    return word_for(spec.role, quantity)


def thing_words(spec: ToolSpec, say: Speech) -> Iterator[str]:
    """How many of what, and its sizes."""
    uses = {"tube": f" for shearing {spec.shape} tube", "picket": " for picket ends"}
    if spec.role == "set" and spec.profile in uses:
        matched = _MATCHED[spec.profile]
        yield f"{counted_tools('set', spec.quantity)}{uses[spec.profile]}, {matched}"
    else:
        yield f"{spec.quantity} {name_of(spec, spec.quantity)}"
        yield _MATCHED.get(spec.profile, "") if spec.role == "set" else ""
    sizes = _SIZES.get(spec.profile, _plain) if spec.role in ("set", "brake_tool") else _plain
    yield from sizes(spec, say)
    yield from _strength(spec, say)


def sizes_in_short(spec: ToolSpec, say: Speech) -> str:
    """The sizes that tell one tool of a sort from the next."""
    if spec.profile == "saddle":
        named = (("", spec.width_mm), ("header ", spec.header_mm))
        return ", ".join(word + decimal_text(mm, say.system) for word, mm in named if mm)
    size = ordered_size(spec.width_mm, spec.long_mm, say.system)
    shape = spec.shape if spec.profile in ("tube", "picket") else ""
    deep = f"{written_size(spec.depth_mm, say.system)} deep" if spec.depth_mm else ""
    angle = f"{spec.angle_deg:g}°" if spec.angle_deg else ""
    long = f"{written_size(spec.work_length_mm, say.system)} long" if spec.work_length_mm else ""
    first = " ".join(part for part in (shape, size) if part)
    corners = corner_words(spec, say.system, short=True)
    return ", ".join(part for part in (first, deep, angle, long, corners) if part)


def corner_words(spec: ToolSpec, system: System, *, short: bool = False) -> str:
    """The radius of its corners; nothing for sharp ones."""
    if spec.corner_radius_mm is None:
        return ""
    radius = f"radius {written_size(spec.corner_radius_mm, system)}"
    return radius if short else f"corners of {radius}"


def work_words(spec: ToolSpec, say: Speech) -> Iterator[str]:
    """What is worked with it, and what it must be proven for."""
    verb = "to punch" if spec.role in PAIR else _VERBS.get(spec.profile, "for")
    if spec.profile in ("saddle", "picket") or spec.for_thickness_mm is None:
        worked = spec.for_material
    else:
        worked = f"{written_size(spec.for_thickness_mm, say.system)} {spec.for_material}".rstrip()
    if worked:
        yield f"{verb if spec.for_thickness_mm else 'for'} {worked}{_strokes(spec, say)}"
    if spec.hole_plus_mm is not None or spec.hole_minus_mm is not None:
        over, under = (
            say.length(size) if size else "0" for size in (spec.hole_plus_mm, spec.hole_minus_mm)
        )
        yield f"the hole may be +{over} -{under}"
    if spec.ream_to_mm is not None:
        yield f"under size, its hole is reamed to {written_size(spec.ream_to_mm, say.system)}"
    if spec.role == "set" and spec.profile in CUT_FROM_AN_EDGE:
        yield "clearance to suit that thickness" if spec.for_thickness_mm else ""
        yield "its list of proven sizes and thicknesses with it"
        yield f"at least {points_text(spec, say)}" if spec.envelope else ""


def _strokes(spec: ToolSpec, say: Speech) -> str:
    if spec.stroke_force_n is None:
        return ""
    return f" in {spec.strokes} strokes of {say.force(spec.stroke_force_n)}"


def points_text(spec: ToolSpec, say: Speech) -> str:
    """The sizes and thicknesses that a tool must be proven for."""
    points = [
        f"{written_size(point.size_mm, say.system)} by"
        f" {written_size(point.thickness_mm, say.system)} {point.material}{_deep(point, say)}"
        for point in spec.envelope
    ]
    return " and ".join(points)


def _deep(point: EnvelopeRow, say: Speech) -> str:
    return "" if point.depth_mm is None else f" to {written_size(point.depth_mm, say.system)} deep"


def _notch(spec: ToolSpec, say: Speech) -> Iterator[str]:
    width = f", {say.length(spec.width_mm)} along the edge" if spec.width_mm else ""
    yield f"rectangular{width}"
    yield f"at least {say.length(spec.depth_mm)} deep" if spec.depth_mm else ""
    yield corner_words(spec, say.system)


def _vee(spec: ToolSpec, say: Speech) -> Iterator[str]:
    yield f"{_degrees(spec.angle_deg)}° included angle" if spec.angle_deg else ""
    deep = f" ({say.length(spec.depth_mm)} deep)" if spec.depth_mm else ""
    yield f"opening at least {say.length(spec.width_mm)} at the edge{deep}" if spec.width_mm else ""
    yield corner_words(spec, say.system)


def _corner(spec: ToolSpec, say: Speech) -> Iterator[str]:
    yield corner_words(spec, say.system) or "square corner"
    if spec.width_mm and spec.depth_mm:
        yield f"at least {clean_pair(spec.width_mm, spec.depth_mm, say.system)}"


def _saddle(spec: ToolSpec, say: Speech) -> Iterator[str]:
    if spec.width_mm:
        named = f" for {spec.nest_for}" if spec.nest_for else ""
        yield f"nest {decimal_text(spec.width_mm, say.system)}{named}"
    if spec.header_mm:
        named = f" ({spec.header_for})" if spec.header_for else ""
        radius, header = (
            decimal_text(mm, say.system) for mm in (spec.header_mm / 2, spec.header_mm)
        )
        yield f"cut radius {radius} for a header {header} outside{named}"
    yield "square, axes meeting"
    yield _walls(spec, lambda wall_mm: decimal_text(wall_mm, say.system, fine=True))


def _walls(spec: ToolSpec, written: Callable[[float], str]) -> str:
    least_mm, most_mm = spec.least_wall_mm, spec.most_wall_mm
    if most_mm is None:
        return ""
    if least_mm is None or least_mm == most_mm:
        return f"walls up to {written(most_mm)}, say the thinnest it takes"
    return f"walls {written(least_mm)} to {written(most_mm)}"


def _tube(spec: ToolSpec, say: Speech) -> Iterator[str]:
    if spec.width_mm:
        yield f"exactly {ordered_size(spec.width_mm, spec.long_mm, say.system)} outside"
    yield "corner radius as the tube's"
    least_mm, most_mm = spec.least_wall_mm, spec.most_wall_mm
    if least_mm is not None and least_mm == most_mm:
        yield f"wall {written_size(least_mm, say.system)}"
    else:
        yield _walls(spec, lambda wall_mm: written_size(wall_mm, say.system))


def _picket(spec: ToolSpec, say: Speech) -> Iterator[str]:
    if spec.width_mm:
        yield f"exactly {say.length(spec.width_mm)} {spec.shape} solid bar"
    yield "the form of the end as on our drawing"


def _vee_die(spec: ToolSpec, say: Speech) -> Iterator[str]:
    yield f"opening {written_size(spec.width_mm, say.system)}" if spec.width_mm else ""
    yield f"{spec.angle_deg:g}° between its sides" if spec.angle_deg else ""


def _plain(spec: ToolSpec, say: Speech) -> Iterator[str]:
    yield f"{spec.shape} {ordered_size(spec.width_mm, spec.long_mm, say.system)}".strip()


def _strength(spec: ToolSpec, say: Speech) -> Iterator[str]:
    """How long it works, what it may bear, how much height it adds."""
    if spec.work_length_mm:
        yield f"working length at least {written_size(spec.work_length_mm, say.system)}"
    if spec.line_limit_n_mm:
        yield f"marked for at least {say.line_force(spec.line_limit_n_mm)}"
    if spec.rated_force_n:
        yield f"rated for at least {say.force(spec.rated_force_n)}"
    if spec.added_height_mm:
        yield f"adds {written_size(spec.added_height_mm, say.system)} of height"


def _degrees(angle_deg: float) -> str:
    return f"{angle_deg:.6f}".rstrip("0").rstrip(".")


_SIZES: dict[str, Callable[[ToolSpec, Speech], Iterator[str]]] = {
    "notch": _notch,
    "vee": _vee,
    "corner": _corner,
    "saddle": _saddle,
    "tube": _tube,
    "picket": _picket,
    "vee die": _vee_die,
}
_VERBS = {
    **dict.fromkeys((*CUT_FROM_AN_EDGE, "saddle", "tube"), "to cut"),
    "vee die": "to bend",
}
