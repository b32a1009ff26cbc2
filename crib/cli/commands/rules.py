"""``crib rules``: the shop's settings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from crib.cli.door import ByOption, CribOption, JsonOption, OnlyAtOption, answer, opened, say
from crib.desk.book.shop_rules import RuleChange, RuleLine, RuleList, change_rule, list_rules

if TYPE_CHECKING:
    from rich.console import Console


def command(
    key: Annotated[str, typer.Argument(metavar="[KEY]", help="A key, or how the keys begin.")] = "",
    value: Annotated[
        str | None, typer.Argument(metavar="[VALUE]", help="The new value of that key.")
    ] = None,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="Why it is changed.")] = "",
    only_at: OnlyAtOption = "",
    by: ByOption = "",
    as_json: JsonOption = False,
    crib: CribOption = "",
) -> None:
    """The shop's settings, and how to change one.

    Example: crib rules wear.interval_strokes 4000 --by nights --why "hard plate"
    """
    with opened(crib) as session:
        if value is None:
            answer(list_rules(session, key), draw, as_json)
        else:
            answer(
                change_rule(session, key, value, why, by=by, only_at=only_at), draw_change, as_json
            )


def draw(screen: Console, listed: RuleList) -> None:
    """Each setting with its value and tag, what it means under it, and the legend of the tags."""
    width = max(len(rule.key) for rule in listed.rules)
    for rule in listed.rules:
        screen.print(f"{rule.key:{width}}  {_value(rule)}  [{rule.tag}]")
        say(screen, _meaning(rule), "    ", "    ")
    screen.print()
    screen.print("; ".join(f"[{tag}] {means}" for tag, means in listed.legend))
    screen.print("* changed by the shop; change one: crib rules KEY VALUE --by NAME --why TEXT")


def draw_change(screen: Console, change: RuleChange) -> None:
    """The setting before and after."""
    unit = "" if change.unit in ("text", "-") else f" {change.unit}"
    before, after = change.before or "(empty)", change.value or "(empty)"
    screen.print(f"{change.key}: {before} -> {after}{unit}")
    screen.print(f"  {change.meaning}; default {change.default or '(empty)'}")


def _value(rule: RuleLine) -> str:
    unit = "" if rule.unit in ("text", "-") else f" {rule.unit}"
    limits = f" ({rule.least} to {rule.most})" if rule.least else ""
    return f"{rule.value or '(empty)'}{unit}{'*' if rule.changed else ''}{limits}"


def _meaning(rule: RuleLine) -> str:
    if not rule.changed:
        return rule.meaning
    changed = f"default {rule.default or '(empty)'}; {rule.who} {rule.changed_at[:10]}: {rule.why}"
    return f"{rule.meaning}; {changed}"
