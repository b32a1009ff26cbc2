"""How a kit is drawn: the walk, what stands in the way, what is missing; who has what."""

from __future__ import annotations

from collections.abc import Sequence
from functools import singledispatch
from typing import TYPE_CHECKING, Any

from crib.acts import saying
from crib.cli.door import say, say_cautions, table
from crib.cli.wording import worded
from crib.desk.kit.handing import counted
from crib.desk.kit.job_kit import HeldAtSite, HeldList, HeldPiece, Kit, KitPiece
from crib.desk.kit.kit_paper import for_words, missing_words, what_words
from crib.desk.kit.take_back import KitBack

if TYPE_CHECKING:
    from rich.console import Console


def draw(screen: Console, result: Any) -> None:
    """Whatever was asked of a kit."""
    _drawn(result, screen)


@singledispatch
def _drawn(result: object, screen: Console) -> None:
    screen.print(str(result))


@_drawn.register(Kit)
def _kit(kit: Kit, screen: Console) -> None:
    due = f", due {kit.due_on}" if kit.due_on else ""
    say(screen, f"Job {kit.job}{due}: {kit.strokes_left:,} strokes to go", then="  ")
    for swap in kit.swaps:
        say(
            screen,
            f"{swap.tag} instead of {swap.instead_of} ({swap.because}); the plan says so",
            then="  ",
        )
    if kit.done:
        say(screen, f"{kit.done[:1].upper()}{kit.done[1:]}.", then="  ")
    far = [piece for piece in kit.pieces if piece.remedy and piece.remedy.name == "send"]
    at_hand = [piece for piece in kit.pieces if piece not in far]
    walked = [piece for piece in at_hand if not piece.mounted and piece.state != "out"]
    out = [piece for piece in kit.pieces if piece.state == "out"]
    mounted = [piece for piece in kit.pieces if piece.mounted and piece.state != "out"]
    _pieces(screen, walked, "take from")
    _pieces(screen, mounted, "mounted already")
    _pieces(screen, far, "to be sent")
    for with_whom in dict.fromkeys((piece.holder, piece.due_back) for piece in out):
        say(screen, f"Out with {with_whom[0]}, back by {with_whom[1]}:", then="  ")
        _pieces(
            screen, [piece for piece in out if (piece.holder, piece.due_back) == with_whom], "is at"
        )
    troubled = [piece for piece in kit.pieces if piece.trouble]
    _listed(screen, "In the way", [_trouble(piece) for piece in troubled if piece.uses])
    idle = [f"{piece.tag} is {piece.trouble}" for piece in troubled if not piece.uses]
    _listed(screen, "No run takes it now", idle)
    if kit.missing:
        lines = [
            f"{missing_words(feature)} (crib find {feature.phrase})" for feature in kit.missing
        ]
        _listed(screen, "Missing: no run is planned for it", lines)
    _listed(screen, "Note", [worded(note) for note in kit.notes])
    say_cautions(screen, kit.cautions)


def _pieces(screen: Console, pieces: Sequence[KitPiece], heading: str) -> None:
    if not pieces:
        return
    rows = table(heading, "tag", "what", "used", "then", "state", "for", right=("used", "then"))
    rows.columns[0].max_width, rows.columns[2].max_width = 14, 18
    rows.columns[6].max_width = 20
    for piece in pieces:
        edged = (
            (f"{100 * piece.used:.0f} %", f"{100 * piece.used_after:.0f} %")
            if piece.edge
            else ("", "")
        )
        rows.add_row(
            piece.place or "no place",
            piece.tag,
            what_words(piece),
            *edged,
            _state(piece),
            for_words(piece),
        )
    screen.print(rows)


def _state(piece: KitPiece) -> str:
    if piece.trouble:
        return "STOP"
    return "promised" if piece.state == "held" else piece.condition


def _trouble(piece: KitPiece) -> str:
    instead = f"; take {piece.instead} ({piece.instead_place}) instead" if piece.instead else ""
    return f"{piece.tag} is {piece.trouble}{_remedy(piece)}{instead or '; no other copy is free'}"


def _remedy(piece: KitPiece) -> str:
    if piece.remedy is None:
        return ""
    when = "" if piece.remedy.name == "send" else " when it is sound"
    return worded(saying(": ", piece.remedy, when))


@_drawn.register(KitBack)
def _back(back: KitBack, screen: Console) -> None:
    whose = f"Job {back.job}" if back.job else "Loan"
    say(screen, f"{whose}: {counted(len(back.pieces))} back", then="  ")
    if back.pieces:
        rows = table("tag", "what", "goes to", "")
        for piece in back.pieces:
            rows.add_row(piece.tag, piece.kind, piece.place or "-", piece.note)
        screen.print(rows)
    if back.strokes:
        rows = table("tag", "over", "strokes", "weighted", "", right=("strokes", "weighted"))
        for stroke in back.strokes:
            how = "as planned, estimate" if stroke.estimate else "counted"
            rows.add_row(
                stroke.tag, stroke.die, f"{stroke.count:,}", f"{stroke.weighted:,.0f}", how
            )
        screen.print(rows)
        wrong = f"wrong? crib undo --act {back.act} --why TEXT"
        say(screen, f"strokes of the shift of {back.shift_on}; {wrong}", then="  ")
    for due in back.became_due:
        say(screen, f"{due.tag}: {due.words}, {100 * due.used:.0f} % used", then="  ")
    for note in back.notes:
        say(screen, f"note: {worded(note)}", then="  ")


@_drawn.register(HeldAtSite)
def _at_site(held: HeldAtSite, screen: Console) -> None:
    from crib.cli.screens.ways_screen import draw_on_the_way

    _held(held, screen)
    draw_on_the_way(screen, held.on_the_way)


@_drawn.register(HeldList)
def _held(held: HeldList, screen: Console) -> None:
    if held.done:
        say(screen, f"{held.done[:1].upper()}{held.done[1:]}.", then="  ")
    for note in held.notes:
        say(screen, f"note: {worded(note)}", then="  ")
    if not held.pieces:
        screen.print("nothing is late" if held.late else "nothing is promised or out")
        return
    groups: dict[str, list[HeldPiece]] = {}
    for piece in held.pieces:
        groups.setdefault(_whose(piece), []).append(piece)
    for whose, pieces in groups.items():
        say(screen, f"{whose}:", then="  ")
        tags = ", ".join(f"{piece.tag} (spare)" if piece.spare else piece.tag for piece in pieces)
        say(screen, f"  {tags}", then="  ")
    say_cautions(screen, held.cautions)


def _whose(piece: HeldPiece) -> str:
    """Whose a piece is, to stand above all that are so."""
    job = f"Job {piece.job}" if piece.job else "Loan"
    if piece.state == "held":
        return f"{job}: promised{f', due {piece.due_on}' if piece.due_on else ''}"
    late = f", {counted(piece.days_late, 'day')} LATE" if piece.days_late else ""
    return f"{job}: out with {piece.holder} since {piece.out_on}, back by {piece.due_back}{late}"


def _listed(screen: Console, title: str, lines: Sequence[str]) -> None:
    if not lines:
        return
    screen.print()
    screen.print(f"{title}:")
    for line in lines:
        say(screen, f"  {line}", then="    ")
