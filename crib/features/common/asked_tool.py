"""What tools features ask for: what a tool must be so that some ask can find it at all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from crib.acts import Fact, fact
from crib.features.common.tool_spec import ONE_SIZE, ToolSpec
from crib.trade.common.verdicts import exceeds

ACCESSORIES = ("stripper", "nut", "other")
"""Roles that no feature asks for: they come with a punch, or with the machine."""
ADAPTERS = ("punch_adapter", "die_adapter", "attachment")
"""Roles that join two seats."""


@dataclass(frozen=True, slots=True)
class AskedTool:
    """A sort of tool that a kind of feature asks for, in stations that do some work.

    ``figures`` are those of a specification without which a rule refuses it for every ask. One that
    is ``mounted`` is found only where it stands at its station.
    """

    role: str
    work: str
    shapes: tuple[str, ...] = ()
    profile: str = ""
    figures: tuple[str, ...] = ()
    mounted: bool = False


def asked_as(spec: ToolSpec, asked: Iterable[AskedTool]) -> AskedTool | None:
    """The sort of tool that a tool is, by its role, outline and what it is made for."""
    return next((one for one in asked if _is(spec, one)), None)


def shape_made_for(role: str, profile: str, asked: Iterable[AskedTool]) -> str:
    """The one outline that tools of a role made for something have; empty where it may vary."""
    shapes = {
        shape for one in asked if (one.role, one.profile) == (role, profile) for shape in one.shapes
    }
    return shapes.pop() if len(shapes) == 1 else ""


def why_not_asked(spec: ToolSpec, asked: Sequence[AskedTool]) -> Iterator[Fact]:
    """Why no ask can find a tool, by what it is; nothing where one can."""
    if spec.role in ACCESSORIES:
        yield fact("reach.accessory")
    elif spec.role in ADAPTERS:
        if not (spec.seat_name and spec.presents_seat):
            yield fact("reach.adapter")
        elif spec.seat_name == spec.presents_seat:
            yield fact("reach.adapter-same", seat=spec.seat_name)
    else:
        yield from _why_not_found(spec, asked)


def why_refused(spec: ToolSpec, sort: AskedTool) -> Iterator[Fact]:
    """What must be entered of a tool before any ask can be served with it."""
    lacking = tuple(name for name in sort.figures if getattr(spec, name) is None)
    if lacking:
        yield fact("reach.figures", lacking=lacking)


def _why_not_found(spec: ToolSpec, asked: Sequence[AskedTool]) -> Iterator[Fact]:
    of_role = [one for one in asked if one.role == spec.role]
    made_for = tuple(dict.fromkeys(one.profile for one in of_role))
    alike = [one for one in of_role if one.profile == spec.profile]
    shapes = tuple(dict.fromkeys(shape for one in alike for shape in one.shapes))
    sort = asked_as(spec, asked)
    if not alike:
        yield fact("reach.made-for", role=spec.role, made_for=spec.profile, known=made_for)
    elif sort is None:
        yield fact("reach.shape", role=spec.role, shape=spec.shape, known=shapes)
    elif not sort.mounted:
        if spec.width_mm is None:
            yield fact("reach.size", role=spec.role)
        elif not _is_longer(spec, sort):
            yield fact("reach.long", shape=spec.shape)
        if not spec.seat_name:
            yield fact("reach.seat", role=spec.role)


def _is(spec: ToolSpec, one: AskedTool) -> bool:
    same = (spec.role, spec.profile) == (one.role, one.profile)
    return same and (not one.shapes or spec.shape in one.shapes)


def _is_longer(spec: ToolSpec, sort: AskedTool) -> bool:
    """Whether a slot or rectangle that is asked for by two sizes is longer than wide."""
    if spec.shape in ONE_SIZE or spec.shape == "special" or sort.profile not in ("", "tube"):
        return True
    return spec.long_mm is not None and exceeds(spec.long_mm, spec.width_mm or 0.0)
