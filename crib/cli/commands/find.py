"""``crib find``: which pieces, in which station; or what to order and do meanwhile."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any

import typer

from crib.cli.door import (
    FOUND,
    NOTHING_SERVES,
    ByOption,
    CribOption,
    JsonOption,
    answer,
    opened,
)
from crib.cli.screens.find_screen import draw, draw_with_reasons
from crib.desk.answer.find import Found, find
from crib.errors import BadValue
from crib.features.common.case import Appearance, Circumstances
from crib.units import read_stress_mpa

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from crib.stock.engine.session import Session

SETTINGS: dict[str, Any] = {"allow_interspersed_args": True}
TAKES_PHRASE = True


def command(
    phrase: Annotated[
        list[str], typer.Argument(metavar="PHRASE...", help="The feature, as on the drawing.")
    ],
    quantity: Annotated[int, typer.Option("--for", min=1, help="How many holes.")] = 1,
    per_part: Annotated[int, typer.Option("--per-part", min=1, help="Holes in one part.")] = 1,
    job: Annotated[str, typer.Option("--job", metavar="NAME", help="The job it is for.")] = "",
    finish: Annotated[bool, typer.Option("--finish", help="Work that is seen.")] = False,
    rough: Annotated[bool, typer.Option("--rough", help="Work that is hidden.")] = False,
    dry: Annotated[bool, typer.Option("--dry", help="No oil.")] = False,
    code: Annotated[str, typer.Option("--code", help="Contract code, as 'EN 1090-2'.")] = "",
    execution_class: Annotated[
        int | None, typer.Option("--exc", min=1, max=4, help="EN 1090-2 class.")
    ] = None,
    dynamic: Annotated[bool, typer.Option("--dynamic", help="Fatigue or seismic part.")] = False,
    cert_yield: Annotated[str, typer.Option("--cert-yield", help="Yield, as 350MPa.")] = "",
    cert_tensile: Annotated[str, typer.Option("--cert-tensile", help="As 70ksi.")] = "",
    chosen: Annotated[
        list[str] | None, typer.Option("--with", metavar="TAG", help="Use this piece.")
    ] = None,
    draw_to: Annotated[
        str, typer.Option("--draw", metavar="FILE", help="Draw it, as .svg or .pdf.")
    ] = "",
    checks: Annotated[
        bool, typer.Option("--checks", help="Show every check, with its source.")
    ] = False,
    no_want: Annotated[bool, typer.Option("--no-want", help="Do not remember a miss.")] = False,
    by: ByOption = "",
    crib: CribOption = "",
    as_json: JsonOption = False,
) -> None:
    """Which pieces, in which station; or what to order and do meanwhile.

    Example: crib find hole 13/16 thru 3/8 A36 for 300

    Behind the plate, in any order: edge 1-1/4, end 2, pitch 3 (from the hole's centre), for 300,
    and ream for a hole that is reamed afterwards.

    Said as at the window it reads too: 13/16 hole 3/8 plate - holes 13/16 through 3/8. What was
    understood is shown back; what can mean two things is asked.

    Others: bolt 3/4 thru 1/2 A572-50 - square 1/2 thru 1/4 - slot 13/16 x 2 thru 3/8
    """
    place = _drawing_place(draw_to)
    work = Circumstances(quantity, per_part, job, _appearance(finish, rough), dry=dry)
    facts = replace(work, code=code, execution_class=execution_class, dynamic=dynamic)
    facts = replace(facts, cert_yield_mpa=_mpa(cert_yield), cert_tensile_mpa=_mpa(cert_tensile))
    with opened(crib) as session:
        found = find(
            session, " ".join(phrase), facts, chosen=chosen or (), record=not no_want, by=by
        )
        found = _drawn(session, found, place)
    show: Callable[..., None] = draw_with_reasons if checks else draw
    answer(found, show, as_json, FOUND if found.serves else NOTHING_SERVES)


def _drawing_place(draw_to: str) -> Path | None:
    """Where to draw, refused before anything is asked when nothing can be drawn there."""
    if not draw_to:
        return None
    from crib.desk.answer.draw_answer import drawing_place

    return drawing_place(draw_to)


def _drawn(session: Session, found: Found, place: Path | None) -> Found:
    if place is None:
        return found
    from crib.desk.answer.draw_answer import draw_found

    return draw_found(session, found, place)


def _mpa(text: str) -> float | None:
    return read_stress_mpa(text) if text else None


def _appearance(finish: bool, rough: bool) -> Appearance:
    if finish and rough:
        message = "--finish and --rough cannot both be"
        raise BadValue(message, way_out="say one of them, or neither")
    return "finish" if finish else "rough" if rough else "any"
