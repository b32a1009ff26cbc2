"""When to order again: the demand during a lead time, and what to keep for its chance.

``Demand`` is that of the lead time, in pieces, and about normal.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

from crib.trade.common.guards import require_not_negative, require_positive
from crib.trade.life.gamma import require_share

_STANDARD = NormalDist()


@dataclass(frozen=True, slots=True)
class Demand:
    """The demand during a lead time: its mean and its standard deviation [pieces]."""

    mean: float
    sd: float


def lead_time_demand(
    mean_per_day: float, sd_per_day: float, lead_days: float, lead_sd_days: float = 0.0
) -> Demand:
    """The demand during a lead time that may itself vary.

    Source: Nahmias, Production and Operations Analysis, 5.4 (from memory).

    Args:
        mean_per_day: Mean demand of a day [pieces].
        sd_per_day: Standard deviation of a day's demand; days are independent [pieces].
        lead_days: Mean lead time [days].
        lead_sd_days: Standard deviation of the lead time [days].

    Returns:
        Mean and standard deviation [pieces].

    Raises:
        BadValue: When an argument is negative.

    Example:
        >>> lead_time_demand(2.0, 1.5, 16.0)
        Demand(mean=32.0, sd=6.0)
    """
    require_not_negative(
        mean_per_day=mean_per_day,
        sd_per_day=sd_per_day,
        lead_days=lead_days,
        lead_sd_days=lead_sd_days,
    )
    spread = lead_days * sd_per_day**2 + (mean_per_day * lead_sd_days) ** 2
    return Demand(mean_per_day * lead_days, sqrt(spread))


def safety_stock(service: float, demand: Demand) -> float:
    """Pieces kept beyond the mean, so that a share of all order cycles sees no shortage.

    Source: Nahmias, Production and Operations Analysis, 5.5 (type 1 service; from memory).

    Args:
        service: Share of the cycles, above 0 and below 1; below a half the stock is negative [-].
        demand: Mean and standard deviation of the lead time's demand [pieces].

    Returns:
        The safety stock [pieces].

    Raises:
        BadValue: When the share is not between 0 and 1 or the deviation is not above zero.

    Example:
        >>> round(safety_stock(0.95, Demand(10.0, 2.0)), 4)
        3.2897
    """
    require_share(service=service)
    require_positive(sd=demand.sd)
    return demand.sd * _STANDARD.inv_cdf(service)
