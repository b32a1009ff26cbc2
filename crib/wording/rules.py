"""What an answer rests on that the shop set itself."""

from __future__ import annotations

from collections.abc import Iterable

from crib.trade.shop.shop_rules import Rule


def changed_rules(rules: Iterable[Rule]) -> str:
    """The changed rules that were looked at, each with its default."""
    told = ", ".join(f"{one.key} {_figure(one.value)} ({_default(one)})" for one in rules)
    return f"Rests on rules that this shop changed: {told}"


def _default(rule: Rule) -> str:
    return f"default {_figure(rule.default)}"


def _figure(value: str) -> str:
    return value or "empty"
