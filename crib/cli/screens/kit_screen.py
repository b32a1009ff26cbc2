"""How a kit is drawn: the walk, what stands in the way, what is missing; who has what."""

from __future__ import annotations

from collections.abc import Sequence
from functools import singledispatch
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from crib.acts import saying
from crib.cli.door import table
from crib.cli.wording import worded
from crib.desk.kit.handing import counted
from crib.desk.kit.job_kit import HeldList, HeldPiece, Kit, KitPiece
from crib.desk.kit.kit_paper import for_words, missing_words
from crib.desk.kit.take_back import KitBack

if TYPE_CHECKING:
    from rich.console import Console

WIDE = 79


def draw(screen: Console, result: Any) -> None:
    """Whatever was asked of a kit."""
    _drawn(result, screen)


@singledispatch
def _drawn(result: object, screen: Console) -> None:
    screen.print(str(result))


@_drawn.register(Kit)
def _kit(kit: Kit, screen: Console) -> None:
    due = f", due {kit.due_on}" if kit.due_on else ""
    _say(screen, f"Job {kit.job}{due}: {kit.strokes_left:,} strokes to go")
    for swap in kit.swaps:
        _say(screen, f"{swap.tag} instead of {swap.instead_of} ({swap.because}); the plan says so")
    if kit.done:
        _say(screen, f"{kit.done[:1].upper()}{kit.done[1:]}.")
    walked = [one for one in kit.pieces if not one.mounted and one.state != "out"]
    out = [one for one in kit.pieces if one.state == "out"]
    mounted = [one for one in kit.pieces if one.mounted and one.state != "out"]
    _pieces(screen, walked, "take from")
    _pieces(screen, mounted, "mounted already")
    for with_whom in dict.fromkeys((one.holder, one.due_back) for one in out):
        _say(screen, f"Out with {with_whom[0]}, back by {with_whom[1]}:")
        _pieces(screen, [one for one in out if (one.holder, one.due_back) == with_whom], "is at")
    _listed(screen, "In the way", [_trouble(one) for one in kit.pieces if one.trouble])
    if kit.missing:
        lines = [f"{missing_words(one)} (crib find {one.phrase})" for one in kit.missing]
        _listed(screen, "Missing: no run is planned for it", lines)
    _listed(screen, "Note", [worded(note) for note in kit.notes])


def _pieces(screen: Console, pieces: Sequence[KitPiece], heading: str) -> None:
    if not pieces:
        return
    rows = table(heading, "tag", "what", "used", "then", "state", "for", right=("used", "then"))
    rows.columns[0].max_width, rows.columns[2].max_width = 14, 18
    rows.columns[6].max_width = 20
    for one in pieces:
        edged = (
            (f"{100 * one.used:.0f} %", f"{100 * one.used_after:.0f} %") if one.edge else ("", "")
        )
        rows.add_row(
            one.place or "no place", one.tag, one.kind, *edged, _state(one), for_words(one)
        )
    screen.print(rows)


def _state(one: KitPiece) -> str:
    if one.trouble:
        return "STOP"
    return "promised" if one.state == "held" else one.condition


def _trouble(one: KitPiece) -> str:
    instead = f"; take {one.instead} ({one.instead_place}) instead" if one.instead else ""
    look = "" if one.remedy is None else worded(saying(": ", one.remedy, " when it is sound"))
    return f"{one.tag} is {one.trouble}{look}{instead or '; no other copy is free'}"


@_drawn.register(KitBack)
def _back(back: KitBack, screen: Console) -> None:
    whose = f"Job {back.job}" if back.job else "Loan"
    _say(screen, f"{whose}: {counted(len(back.pieces))} back")
    if back.pieces:
        rows = table("tag", "what", "goes to", "")
        for piece in back.pieces:
            rows.add_row(piece.tag, piece.kind, piece.place or "-", piece.note)
        screen.print(rows)
    if back.strokes:
        rows = table("tag", "over", "strokes", "weighted", "", right=("strokes", "weighted"))
        for one in back.strokes:
            how = "as planned, estimate" if one.estimate else "counted"
            rows.add_row(one.tag, one.die, f"{one.count:,}", f"{one.weighted:,.0f}", how)
        screen.print(rows)
        wrong = f"wrong? crib undo --act {back.act} --why TEXT"
        _say(screen, f"strokes of the shift of {back.shift_on}; {wrong}")
    for due in back.became_due:
        _say(screen, f"{due.tag}: {due.words}, {100 * due.used:.0f} % used")
    for note in back.notes:
        _say(screen, f"note: {worded(note)}")


@_drawn.register(HeldList)
def _held(found: HeldList, screen: Console) -> None:
    if found.done:
        _say(screen, f"{found.done[:1].upper()}{found.done[1:]}.")
    if not found.pieces:
        screen.print("nothing is late" if found.late else "nothing is promised or out")
        return
    groups: dict[str, list[HeldPiece]] = {}
    for one in found.pieces:
        groups.setdefault(_whose(one), []).append(one)
    for whose, pieces in groups.items():
        _say(screen, f"{whose}:")
        tags = ", ".join(f"{one.tag} (spare)" if one.spare else one.tag for one in pieces)
        _say(screen, f"  {tags}")


def _whose(one: HeldPiece) -> str:
    """Whose a piece is, to stand above all that are so."""
    job = f"Job {one.job}" if one.job else "Loan"
    if one.state == "held":
        return f"{job}: promised{f', due {one.due_on}' if one.due_on else ''}"
    late = f", {counted(one.days_late, 'day')} LATE" if one.days_late else ""
    return f"{job}: out with {one.holder} since {one.out_on}, back by {one.due_back}{late}"


def _listed(screen: Console, title: str, lines: Sequence[str]) -> None:
    if not lines:
        return
    screen.print()
    screen.print(f"{title}:")
    for line in lines:
        _say(screen, f"  {line}", then="    ")


def _say(screen: Console, line: str, then: str = "  ") -> None:
    for part in wrap(line, WIDE, subsequent_indent=then, break_long_words=False):
        screen.print(part, soft_wrap=True)
