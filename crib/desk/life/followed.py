"""Where reminders stand by what is believed of a kind's edges."""

from __future__ import annotations

from crib.trade.life.edge_life import Prior
from crib.trade.life.reminder_follow import followed_interval
from crib.trade.shop.shop_rules import Rules


def followed(learned: float, prior: Prior, own: int, rules: Rules) -> float:
    """Where reminders stand: at the learned count, as far as they may follow it [strokes]."""
    if not own or rules.text("life.follow") == "no":
        return prior.interval_strokes
    return followed_interval(
        learned,
        *(prior.interval_strokes, own),
        *(rules.number("life.most_stretch"), int(rules.number("life.whole_way"))),
    )
