"""``crib life``: how long an edge lasts, as the shop's own edges teach it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened, say, table
from crib.cli.screens.range_lines import StrokeRange, range_lines
from crib.cli.wording import worded
from crib.desk.book.keep_shape import keep_shape
from crib.desk.book.shop_rules import RuleChange
from crib.desk.life.fitted_shape import life_with_shape
from crib.desk.life.learning import MORE, SURE, Learned, LifeOf, ShapeTold

if TYPE_CHECKING:
    from rich.console import Console


def command(
    name: Annotated[list[str], typer.Argument(metavar="TAG|KIND", help="A tag, or a kind's name.")],
    more: Annotated[
        int, typer.Option("--to-come", metavar="N", help="Weighted strokes to come.")
    ] = MORE,
    keep: Annotated[
        bool, typer.Option("--keep-shape", help="Have reminders hold the shape that it shows.")
    ] = False,
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """How long an edge lasts, and the risk of the strokes to come.

    Example: crib life P-0137 --to-come 500
    """
    with opened(crib) as session:
        if keep:
            answer(keep_shape(session, " ".join(name), by=by), draw_kept, as_json)
        else:
            answer(life_with_shape(session, " ".join(name), more), draw, as_json)


def draw_kept(screen: Console, change: RuleChange) -> None:
    """The shape before and after, and how to put it back."""
    screen.print(f"{change.key}: {change.before} -> {change.value}, for the reminders of all kinds")
    screen.print(f"  {change.why}")
    screen.print(f"  put it back: crib rules {change.key} {change.before} --by NAME --why TEXT")


def draw(screen: Console, life: LifeOf) -> None:
    """Both counts with their ranges, what they rest on, and what each piece risks."""
    screen.print(f"{life.kind}: how long an edge lasts, in weighted strokes")
    seen = life.learned.estimate
    for risk, at, low, high in (
        (10, seen.scale_10, seen.low_10, seen.high_10),
        (50, seen.scale_50, seen.low_50, seen.high_50),
    ):
        sure = f", {100 * SURE:.0f} % sure" if risk == 10 else ""
        screen.print(f"  {risk} % are dull after {at:,.0f} ({low:,.0f} to {high:,.0f}{sure})")
    screen.print(
        f"  rests on: {seen.rests_on}; {edges_seen(life.learned.edges)} seen,"
        f" {seen.events:,} dull, {seen.broken:,} broken"
    )
    if life.kept:
        screen.print(f"  the interval of the settings: {life.learned.interval:,.0f}")
    screen.print(f"  reminders use {_in_use(life)}")
    levels = (
        f"{100 * level.share:.0f} % at {level.strokes:,.0f} ({100 * level.chance:.0f} % dull)"
        for level in life.levels
    )
    for pair in zip(levels, levels, strict=True):
        screen.print(f"    {', '.join(pair)}")
    for line in _shape(life):
        screen.print(line)
    _draw_sure(screen, life)
    _draw_pools(screen, life.learned)
    _draw_pieces(screen, life)


def _draw_sure(screen: Console, life: LifeOf) -> None:
    """The ranges on one scale, the reminders under them, and what would narrow them."""
    seen = life.learned.estimate
    ranges = (
        StrokeRange("10 %", seen.scale_10, seen.low_10, seen.high_10),
        StrokeRange("50 %", seen.scale_50, seen.low_50, seen.high_50),
    )
    for line in range_lines(ranges, life.interval, "reminders"):
        screen.print(line)
    for one in life.sure:
        say(screen, worded(one), "  ", "    ")


def _shape(life: LifeOf) -> list[str]:
    """The shape that the edges show beside the one that is held, or what they lack to show one."""
    told = life.shape
    if told is None:
        return []
    held = f"  life.shape is {told.held:g}"
    if told.missing:
        more = f"{told.missing} more edge{'' if told.missing == 1 else 's'}"
        return [f"{held}; to fit one: {more} ground with --found right"]
    if told.shape is None or told.low is None or told.high is None:
        return [f"{held}; the edges leave it open"]
    inside = ", within that" if told.low <= told.held <= told.high else ""
    return [
        f"  the edges show a shape of {told.shape:.1f} ({told.low:.1f} to {told.high:.1f}), from"
        f" {told.dull:,} dull ones",
        f"    ({told.pool}, by what was said);{held[1:]}{inside}",
        *_with_it(life, told),
    ]


def _with_it(life: LifeOf, told: ShapeTold) -> list[str]:
    if told.at_10 is None or told.at_50 is None:
        return ["    no edge dulls like that: were they ground by the count?"]
    name = life.pieces[0].tag if life.pieces else life.kind
    counts = f"    with it 10 % are dull after {told.at_10:,.0f}, 50 % after {told.at_50:,.0f}"
    hold = f"    to hold it: crib life {name} --keep-shape --by NAME"
    return [counts] if told.is_held else [counts, hold]


def _in_use(life: LifeOf) -> str:
    """The interval that reminders use, and today's where the ledger has gone on since."""
    learned = life.learned
    if life.kept:
        words = f"{life.interval:,.0f}, learned from {edges_seen(learned.own)} of its own"
        later = round(learned.follow) != round(life.interval)
        return f"{words}; today's: {learned.follow:,.0f}" if later else words
    why = "" if learned.own else ": nobody saw an edge of its own at its end"
    return f"{life.interval:,.0f}, the setting{why}"


def edges_seen(count: int) -> str:
    """How many edges, in words."""
    return f"{count:,} edge{'' if count == 1 else 's'}"


def _draw_pools(screen: Console, learned: Learned) -> None:
    figures = ("pieces", "edges", "dull", "broken", "strokes")
    rows = table("learned from", *figures, right=figures)
    for pool in reversed(learned.pools):
        counts = (pool.edges, pool.dull, pool.broken, round(pool.strokes))
        pieces = f"newest {pool.pieces}" if pool.capped else f"{pool.pieces}"
        rows.add_row(pool.name, pieces, *(f"{count:,}" for count in counts))
    screen.print(rows)


def _draw_pieces(screen: Console, life: LifeOf) -> None:
    if not life.pieces:
        screen.print("no piece of it is in use")
        return
    screen.print(f"if its edge is sharp now, the chance after {life.more:,} more to be")
    figures = ("done", "dull", "broken", "either", "10 % in")
    rows = table("tag", "place", *figures, right=figures)
    for piece in life.pieces:
        chances = (piece.chance_dull, piece.chance_broken, piece.chance_lost)
        rows.add_row(
            *(piece.tag, piece.place or "-", f"{piece.wear:,.0f}"),
            *(f"{100 * chance:.1f} %" for chance in chances),
            f"{piece.left_10:,.0f}",
        )
    screen.print(rows)
    if life.pieces_more:
        screen.print(f"{life.pieces_more:,} more pieces, each with less risk")
