"""``crib grades``: what phrases may name, and a material of the shop's own."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened, say
from crib.desk.book.own_materials import (
    MaterialLine,
    MaterialList,
    NewMaterial,
    add_material,
    list_materials,
)
from crib.units import System, format_stress

if TYPE_CHECKING:
    from rich.console import Console


def command(
    name: Annotated[
        list[str] | None, typer.Argument(metavar="[NAME]", help="A material, as in a phrase.")
    ] = None,
    tensile: Annotated[str, typer.Option("--tensile", help="Add it: least, as 65ksi.")] = "",
    upper: Annotated[str, typer.Option("--upper", help="What it may run to, as 90ksi.")] = "",
    yields: Annotated[str, typer.Option("--yield", help="Least yield, as 50ksi.")] = "",
    family: Annotated[str, typer.Option("--family", help="What it is like, as hsla.")] = "",
    source: Annotated[str, typer.Option("--source", help="Standard or certificate.")] = "",
    alias: Annotated[
        list[str] | None, typer.Option("--also", metavar="NAME", help="Another name.")
    ] = None,
    multiplier: Annotated[
        float | None, typer.Option("--multiplier", help="Force over mild steel.")
    ] = None,
    ratio: Annotated[
        float | None, typer.Option("--ratio", help="Least hole over thickness.")
    ] = None,
    radius: Annotated[
        float | None, typer.Option("--radius", help="Least inside bend, thicknesses.")
    ] = None,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="Why it is added.")] = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """The materials that phrases may name, and adding one of your own.

    Example: crib grades 350W

    Add: crib grades X400 --family hsla --tensile 500MPa --upper 650MPa --source "EN 10149-2"
    --by nights --why "job 24-118"
    """
    called = " ".join(name or ())
    said = NewMaterial(
        called, family, tensile, upper, source, alias or (), yields, multiplier, ratio, radius
    )
    with opened(crib) as session:
        if tensile or family or source:
            answer(add_material(session, said, why, by=by), draw, as_json)
        else:
            answer(list_materials(session, called), draw, as_json)


def draw(screen: Console, listed: MaterialList) -> None:
    """Each material in a line; one alone with everything known of it."""
    for one in listed.materials:
        mark = "*" if one.own else " "
        factor = "-" if one.multiplier is None else f"x {one.multiplier:g}"
        punched = "" if one.punchable else "  not to be punched"
        strength = _strength(one, listed.system)
        screen.print(f"{one.name:14}{mark} {one.family:12} {factor:7} {strength}{punched}")
    if len(listed.materials) == 1:
        _draw_whole(screen, listed.materials[0])
    else:
        screen.print("* added by this shop; one in full: crib grades NAME")


def _draw_whole(screen: Console, one: MaterialLine) -> None:
    if one.aliases:
        say(screen, f"also called {', '.join(one.aliases)}", "  ", "  ")
    told = [f"strengths by {one.source}"]
    if one.min_hole_ratio is not None:
        told.append(f"holes of at least {one.min_hole_ratio:g} thicknesses")
    if one.bend_radius_t is not None:
        told.append(f"bends of at least {one.bend_radius_t:g} thicknesses inside")
    say(screen, "; ".join(told), "  ", "  ")
    if one.own:
        say(screen, f"{one.who} {one.changed_at[:10]}: {one.why}", "  ", "  ")


def _strength(one: MaterialLine, system: System) -> str:
    if one.tensile_mpa is None or one.upper_tensile_mpa is None:
        return "no strength on record"
    least, most = (format_stress(mpa, system) for mpa in (one.tensile_mpa, one.upper_tensile_mpa))
    return f"{least} to {most}"
