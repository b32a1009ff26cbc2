"""What tooling is worth: saved minutes, break-even holes, when to order. Money is whole cents."""

from __future__ import annotations

from math import ceil

from crib.errors import BadValue
from crib.trade.common.guards import require_not_negative, require_positive

_MONTHS_PER_YEAR = 12


def break_even_holes(pair_price_cents: int, saving_cents_per_hole: float) -> int | None:
    """Holes after which a pair has paid for itself; ``None`` when it never does.

    Source: common practice (price of the pair over the saving on each hole).

    Args:
        pair_price_cents: Price of punch and die [cents].
        saving_cents_per_hole: What each hole saves; zero or less saves nothing [cents].

    Returns:
        Whole holes, or ``None`` [-].

    Raises:
        BadValue: When the price is negative.

    Example:
        >>> break_even_holes(18_000, 125.0)
        144
    """
    require_not_negative(pair_price_cents=pair_price_cents)
    if saving_cents_per_hole <= 0:
        return None
    return ceil(pair_price_cents / saving_cents_per_hole - 1e-9)


def months_of_use(pieces: int, life_strokes: float, strokes_per_month: float) -> float | None:
    """How many months of use some pieces hold; ``None`` when the size is not used.

    Source: common practice (stock over use; more than 12 months is overstock).

    Args:
        pieces: Pieces on the shelf and on order [-].
        life_strokes: Weighted strokes that one piece makes in its life [-].
        strokes_per_month: Weighted strokes used in a month [-].

    Returns:
        Months, or ``None`` [months].

    Raises:
        BadValue: When pieces or use are negative or the life is not above zero.

    Example:
        >>> months_of_use(2, 60_000.0, 10_000.0)
        12.0
    """
    require_not_negative(pieces=pieces, strokes_per_month=strokes_per_month)
    require_positive(life_strokes=life_strokes)
    return pieces * life_strokes / strokes_per_month if strokes_per_month else None


def reorder_point(
    strokes_per_day: float, life_strokes: float, lead_days: float, safety_pieces: float
) -> float:
    """The stock at which to order again: use during the lead time and a safety stock.

    Source: common practice (weighted strokes a day / life x lead time + safety; one spare for a
    size used weekly).

    Args:
        strokes_per_day: Weighted strokes a day [-].
        life_strokes: Weighted strokes that one piece makes in its life [-].
        lead_days: Days from order to delivery [days].
        safety_pieces: Pieces kept against a breakage [-].

    Returns:
        Pieces; order when the shelf has no more than this [-].

    Raises:
        BadValue: When an argument is negative or the life is not above zero.

    Example:
        >>> reorder_point(500.0, 50_000.0, 10.0, 1.0)
        1.1
    """
    require_not_negative(
        strokes_per_day=strokes_per_day, lead_days=lead_days, safety_pieces=safety_pieces
    )
    require_positive(life_strokes=life_strokes)
    return strokes_per_day / life_strokes * lead_days + safety_pieces


def carrying_cost_cents(price_cents: int, months: float, carrying_pct: float = 20.0) -> int:
    """What it costs to keep stock for some months.

    Source: common practice (about 20 % of the price a year).

    Args:
        price_cents: Price of the stock [cents].
        months: Months it lies on the shelf [months].
        carrying_pct: Cost of a year, of the price [%].

    Returns:
        The cost, to the nearest cent [cents].

    Raises:
        BadValue: When an argument is negative.

    Example:
        >>> carrying_cost_cents(12_000, 6.0)
        1200
    """
    require_not_negative(price_cents=price_cents, months=months, carrying_pct=carrying_pct)
    return round(price_cents * carrying_pct / 100 * months / _MONTHS_PER_YEAR)


def yearly_value_cents(
    holes_per_year: float,
    saving_cents_per_hole: float,
    break_chance: float,
    downtime_cents: int,
    uncovered_share: float,
    price_cents: int,
    expected_years: float,
) -> int:
    """What a line is worth in a year: saved minutes and spared downtime, less its price spread out.

    Source: common practice (qty x saving + chance of a break x downtime x share not covered by
    spares - price / expected years).

    Args:
        holes_per_year: Holes of this size in a year [-].
        saving_cents_per_hole: What each of them saves [cents].
        break_chance: Chance of a break in the year, 0 to 1 [-].
        downtime_cents: What a break costs in lost time [cents].
        uncovered_share: Share of that no spare covers, 0 to 1 [-].
        price_cents: Price of the line [cents].
        expected_years: Years it is expected to serve [years].

    Returns:
        The value of a year, to the nearest cent; negative when it does not pay [cents].

    Raises:
        BadValue: When a count, cost or share is negative, a share is above 1, or the years are not
            above zero.

    Example:
        >>> yearly_value_cents(600, 125.0, 0.1, 15_000, 1.0, 18_000, 3.0)
        70500
    """
    require_not_negative(
        holes_per_year=holes_per_year, downtime_cents=downtime_cents, price_cents=price_cents
    )
    require_positive(expected_years=expected_years)
    _require_share(break_chance=break_chance, uncovered_share=uncovered_share)
    saved = holes_per_year * saving_cents_per_hole
    spared = break_chance * downtime_cents * uncovered_share
    return round(saved + spared - price_cents / expected_years)


def _require_share(**shares: float) -> None:
    for name, share in shares.items():
        if not 0 <= share <= 1:
            message = f"{name}={share:g} must be 0 to 1"
            raise BadValue(message)
