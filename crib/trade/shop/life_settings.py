"""What the shop's rules say of how long an edge lasts."""

from __future__ import annotations

from crib.trade.life.edge_life import Prior
from crib.trade.shop.shop_rules import Rules


def prior_of(interval_strokes: float | None, rules: Rules) -> Prior:
    """What the settings say of a kind's edges before anything is seen.

    Source: shop rules ``life.shape``, ``life.prior_weight`` and ``life.dull_at_share``.

    Args:
        interval_strokes: The kind's interval, none for the shop's own [strokes].
        rules: The shop's rules; shape, weight and share of them [-].

    Returns:
        The settings; the interval in [strokes].

    Example:
        >>> prior_of(4000, Rules({}))
        Prior(interval_strokes=4000.0, shape=2.5, weight=1.1, dull_at_share=0.1)
    """
    return Prior(
        float(interval_strokes or rules.number("wear.interval_strokes")),
        rules.number("life.shape"),
        rules.number("life.prior_weight"),
        rules.number("life.dull_at_share"),
    )
