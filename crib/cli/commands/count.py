"""``crib count``: count a drawer and settle the differences."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, answer, opened, say
from crib.cli.wording import worded
from crib.desk.shelf.count import (
    Count,
    Counted,
    count_place,
    expected_list,
    settle_count,
    split_tags,
)
from crib.errors import BadInput

if TYPE_CHECKING:
    from rich.console import Console


def command(
    place: Annotated[str, typer.Argument(metavar="PLACE", help="Which drawer.")],
    found: Annotated[
        list[str] | None,
        typer.Option("--there", metavar="TAG,TAG", help="What is there; none when it is empty."),
    ] = None,
    blind: Annotated[bool, typer.Option("--blind", help="Only lines to write tags on.")] = False,
    settle: Annotated[bool, typer.Option("--settle", help="Put the record right.")] = False,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="Why it is settled so.")] = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """Count a drawer and settle the differences.

    Example: crib count A1 --there P-0137,P-0140 --settle --why "yearly count"
    """
    tags = None if found is None else split_tags(found)
    if tags is None and settle:
        message = "--settle without --found"
        raise BadInput(message, way_out="say what is there: --there P-0137,D-0201 or --there none")
    with opened(crib) as session:
        if tags is None:
            count = expected_list(session, place, blind=blind)
        elif settle:
            count = settle_count(session, place, tags, why, by=by)
        else:
            count = count_place(session, place, tags)
        answer(count, draw, as_json)


def draw(screen: Console, count: Count) -> None:
    """The list to take along, or the differences."""
    if count.blind:
        screen.print(f"{count.place}: write down every tag that is there")
        for number in range(1, count.blank_lines + 1):
            screen.print(f"{number:3}  ______________________")
        return
    if not count.found_given:
        screen.print(f"{count.place}: {len(count.expected)} expected")
        for one in count.expected:
            screen.print(f"  [ ] {piece_line(one)}")
        return
    _draw_differences(screen, count)


def _draw_differences(screen: Console, count: Count) -> None:
    expected = len(count.expected)
    screen.print(f"{count.place}: {len(count.here)} of {expected} expected are here")
    stored = {one.tag: one for one in count.stored}
    for heading, group in (
        ("MISSING", count.missing),
        ("BELONGS ELSEWHERE", count.strays),
        ("WAS LOST", count.found_again),
        ("RETIRED, should not be here", count.retired),
    ):
        for one in group:
            text = f"{heading}: {piece_line(one)}, on record at {one.place or 'no place'}"
            say(screen, text + _now(stored.get(one.tag)), first="  ", then="    ")
    for tag in count.unknown:
        screen.print(f"  NOT IN THE CRIB: {tag}; crib add {tag} ...")
    if count.settled:
        undo = f"; wrong? crib undo --act {count.act} --why TEXT" if count.act else ""
        screen.print(f"{count.differences} differences settled{undo}")
        for note in count.notes:
            say(screen, f"note: {worded(note)}", then="  ")
        if count.found_again:
            screen.print("looked at and sound? crib look TAG --inspected")
    elif count.differences:
        screen.print(f"{count.differences} differences; put the record right: --settle --why TEXT")


def _now(stored: Counted | None) -> str:
    """What the crib has of a piece after settling."""
    if stored is None:
        return ""
    condition = "to be looked at" if stored.condition == "inspect" else stored.condition
    return f"; now {condition}, at {stored.place or 'no place'}"


def piece_line(one: Counted) -> str:
    """A piece in one line."""
    condition = "" if one.condition == "sound" else f" ({one.condition})"
    return f"{one.tag}  {one.kind}, {one.size}{condition}"
