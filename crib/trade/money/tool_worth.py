"""What one more piece of a kind is for: the year's work it takes on, the breakage it covers.

Together with ``money.yearly_value_cents`` this makes the value of a line in a year.
"""

from __future__ import annotations

from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.life.gamma import chance_up_to

_DAYS_A_YEAR = 365


def expected_years(life_strokes: float, strokes_per_year: float, most_years: float) -> float:
    """How long a tool is expected to serve: its life over its use, and no longer than is told.

    Source: common practice (price over expected years); the bound is a shop rule, since a tool
    that is hardly used is outdated, lost or no longer wanted before it is worn.

    Args:
        life_strokes: Weighted strokes of a tool from new to spent [strokes].
        strokes_per_year: Weighted strokes it makes in a year [strokes].
        most_years: The longest time over which a price is spread [years].

    Returns:
        The years [years].

    Raises:
        BadValue: When life or bound are not above zero, or the use is negative.

    Example:
        >>> expected_years(60_000.0, 24_000.0, 5.0)
        2.5
    """
    require_positive(life_strokes=life_strokes, most_years=most_years)
    require_not_negative(strokes_per_year=strokes_per_year)
    if strokes_per_year * most_years <= life_strokes:
        return most_years
    return life_strokes / strokes_per_year


def charge_a_year_cents(price_cents: int, years: float, carrying_pct: float = 0.0) -> int:
    """What a tool costs in each year it serves: its price spread evenly, and keeping it.

    It is worth its price at first and nothing at last, half of it on the average.

    Source: common practice (straight-line depreciation; carrying cost of the average value).

    Args:
        price_cents: Price of the tool [cents].
        years: Years over which it serves [years].
        carrying_pct: Cost of keeping a piece for a year, of its worth [%].

    Returns:
        The cost of a year, to the nearest cent [cents].

    Raises:
        BadValue: When the price or share is negative, or the years are not above zero.

    Example:
        >>> charge_a_year_cents(10_000, 5.0, 20.0)
        3000
    """
    require_not_negative(price_cents=price_cents, carrying_pct=carrying_pct)
    require_positive(years=years)
    return round(price_cents / years + price_cents * carrying_pct / 200)


def work_share(piece: int, pieces_per_year: float) -> float:
    """The share of a year's work that falls to one piece when they are worn one after the other.

    Source: shop rule (each piece takes on its whole life, the last one what is left).

    Args:
        piece: Which piece, 1 for the first [-].
        pieces_per_year: Pieces that the year's work wears out [pieces].

    Returns:
        The share, 0 to 1 [-].

    Raises:
        BadValue: When a figure is not above zero.

    Example:
        >>> [round(work_share(piece, 1.25), 2) for piece in (1, 2, 3)]
        [0.8, 0.2, 0.0]
    """
    require_positive(piece=piece, pieces_per_year=pieces_per_year)
    return min(max(pieces_per_year - (piece - 1), 0.0), 1.0) / pieces_per_year


def uncovered_share(pieces: int, breaks_per_year: float, lead_days: float) -> float:
    """The share of the breakages that no spare covers.

    A breakage stops the work when all the other pieces broke within the lead time before it, so
    that nothing has come in their place yet. Breakages are random (a Poisson stream).

    Source: common practice (spares for random failures), the breakage rate is a shop rule.

    Args:
        pieces: Sound pieces, the one in use counted [pieces].
        breaks_per_year: Breakages in a year [-].
        lead_days: Days from order to delivery [days].

    Returns:
        The share, 1 when there is no spare [-].

    Raises:
        BadValue: When the pieces are not above zero or another figure is negative.

    Example:
        >>> uncovered_share(1, 0.2, 10.0), round(uncovered_share(2, 0.2, 10.0), 5)
        (1.0, 0.00546)
    """
    require_positive(pieces=pieces)
    require_not_negative(breaks_per_year=breaks_per_year, lead_days=lead_days)
    spares, mean = pieces - 1, breaks_per_year * lead_days / _DAYS_A_YEAR
    if not spares:
        return 1.0
    return 1.0 - chance_up_to(spares - 1, mean) if mean else 0.0


def whole_prices(price_cents: int, weights: list[tuple[int, int]]) -> list[list[tuple[int, int]]]:
    """A package's price as whole cents for each piece, so that they add up to it.

    In proportion to what the pieces cost by themselves. What does not divide is put on one piece,
    the first of the last line: a line of several pieces may have two prices.

    Source: common practice (a package is booked by the prices of its parts).

    Args:
        price_cents: Price of the package [cents].
        weights: For each line the pieces and the price of one by itself [cents].

    Returns:
        For each line its pieces and their price, in one or two parts [cents].

    Raises:
        BadValue: When there is no line, the price or a weight is negative, or a line has no piece.

    Example:
        >>> whole_prices(10_000, [(1, 4_000), (2, 4_000)])
        [[(1, 3333)], [(1, 3334), (1, 3333)]]
    """
    require_not_negative(price_cents=price_cents)
    require_positive(lines=len(weights))
    for pieces, cents in weights:
        require_positive(pieces=pieces)
        require_not_negative(weight_cents=cents)
    total = sum(pieces * cents for pieces, cents in weights)
    even = [(pieces, cents if total else 1) for pieces, cents in weights]
    whole = total or sum(pieces for pieces, _cents in weights)
    each = [price_cents * cents // whole for _pieces, cents in even]
    left = price_cents - sum(n * one for (n, _c), one in zip(weights, each, strict=True))
    found = [[(n, one)] for (n, _cents), one in zip(weights, each, strict=True)]
    if left:
        pieces, last = found[-1][0]
        found[-1] = [(1, last + left)] + ([(pieces - 1, last)] if pieces > 1 else [])
    return found
