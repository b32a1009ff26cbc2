"""The shape and scale of a Weibull life by maximum likelihood, from edges censored on either side.

Only this file of the trade asks SciPy, inside the functions: a shape is fitted when somebody has
the crib learn, not at the window.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import exp, expm1, log, sqrt

from crib.errors import BadValue
from crib.trade.common.guards import require_positive
from crib.trade.life.edge_life import Observation, require_sound
from crib.trade.life.gamma import require_share

# Bounds of the logarithms that are searched: far outside of any life.
_SHAPES = (log(0.02), log(1e6))
_BESIDE = 60.0
# Beyond it exp() is nothing or more than a sum can hold: dull for certain, or not to be sharp.
_STEEPEST = 600.0

# Shares of the median beyond which an edge is far, and the spread below which there is no shape.
_EARLY, _LATE, _LEAST_SPREAD = 0.2, 2.0, 1.05
# A shape fitted to so many dull edges is too steep by 1.37 / (edges - 1.92).
_BIAS, _BIAS_FROM, _LEAST_KNOWN = 1.37, 1.92, 4
# What a fitted shape may count as: edges do not sharpen with use.
LEAST_SHAPE, MOST_SHAPE = 1.0, 6.0


@dataclass(frozen=True, slots=True)
class WeibullFit:
    """Shape and scale of greatest likelihood, with their standard errors."""

    shape: float
    scale: float
    shape_error: float
    scale_error: float
    log_likelihood: float
    events: int


@dataclass(frozen=True, slots=True)
class ShapeSeen:
    """A fitted shape with its interval, and from how many edges found dull."""

    shape: float
    low: float
    high: float
    events: int


def fitted_life(observations: Sequence[Observation], least_events: int = 20) -> WeibullFit:
    """The shape and scale under which the edges seen are the most likely.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.2 (maximum likelihood of censored
    data), with the overdue edges as 1 less the share sharp (Meeker and Escobar, Statistical Methods
    for Reliability Data, 1998; from memory); errors from the observed information.

    For each shape the scale of greatest likelihood is found, and the shape is where the slope of
    the likelihood along that line is nothing.

    Args:
        observations: Edges as they were found, in any order [strokes].
        least_events: Edges found dull below which no shape is fitted [-].

    Returns:
        The fit; scale in [strokes].

    Raises:
        BadValue: When there are too few dull edges, or the edges leave the shape open.
        UnknownName: When it is not known how an edge was found.

    Example:
        >>> edges = [Observation(1000.0 * n, "dull") for n in (5, 7, 8, 10)]
        >>> fit = fitted_life([*edges, Observation(10000.0, "right")], least_events=4)
        >>> round(fit.shape, 2), round(fit.scale)
        (4.16, 9080)
    """
    unit, edges = _in_unit_of_longest(observations, least_events)

    def slope(log_shape: float) -> float:
        return _Sums(edges, log_shape, _log_scale(edges, log_shape)).shape_slope

    log_shape = _root(slope, _SHAPES)
    log_scale = _log_scale(edges, log_shape)
    return _fit(_Sums(edges, log_shape, log_scale), unit)


def shape_seen(
    observations: Sequence[Observation], least_events: int = 20, sure: float = 0.9
) -> ShapeSeen | None:
    """The shape that edges show of themselves, with its interval; none while they leave it open.

    Source: ``fitted_life``, and a shop rule for the far ones; interval of ln shape by the observed
    information (NIST/SEMATECH e-Handbook, 8.4.1.2; the logarithm from memory), about the shape
    without the bias of a small sample, which is fitted too steep (Thoman, Bain and Antle, 1969,
    Technometrics 11: 0.669 times at 5 edges, 0.931 at 20; the formula between from memory).

    One far edge would bend the shape by a third. So an edge dull or overdue before a fifth of the
    median is one overdue at that fifth, and what is dull or sharp beyond twice the median is still
    sharp there: they count, and how far they were does not.

    Args:
        observations: Edges as they were found, in any order [strokes].
        least_events: Edges found dull below which no shape is fitted [-].
        sure: How sure the interval shall be, above 0 and below 1 [-].

    Returns:
        The shape and its interval [-].

    Raises:
        BadValue: When a figure is not above zero, or an observation cannot be.
        UnknownName: When it is not known how an edge was found.

    Example:
        >>> edges = [Observation(1000.0 * n, "dull") for n in (5, 7, 8, 10)]
        >>> seen = shape_seen(edges, least_events=4)
        >>> round(seen.shape, 1), round(seen.low, 1), round(seen.high, 1)
        (4.7, 1.5, 5.5)
        >>> shape_seen(edges) is None
        True
    """
    from statistics import NormalDist

    require_positive(least_events=least_events)
    require_share(sure=sure)
    for observation in observations:
        require_sound(observation)
    dull = sorted(observation.strokes for observation in observations if observation.kind == "dull")
    if len(dull) < least_events:
        return None
    near = _with_far_ones_near(observations, dull[len(dull) // 2])
    if not _spread(near):
        return None
    fit = fitted_life(near, least_events=1)
    times = exp(NormalDist().inv_cdf((1 + sure) / 2) * fit.shape_error / fit.shape)
    middle = fit.shape / (1 + _BIAS / (max(fit.events, _LEAST_KNOWN) - _BIAS_FROM))
    return ShapeSeen(fit.shape, middle / times, middle * times, len(dull))


def _spread(observations: Sequence[Observation]) -> bool:
    counts = [observation.strokes for observation in observations if observation.kind == "dull"]
    return max(counts) >= _LEAST_SPREAD * min(counts)


def _with_far_ones_near(observations: Sequence[Observation], median: float) -> list[Observation]:
    early, late = _EARLY * median, _LATE * median
    near = []
    for observation in observations:
        if observation.kind != "right" and observation.strokes < early:
            near.append(Observation(early, "left"))
        elif observation.kind != "left" and observation.strokes > late:
            near.append(Observation(late, "right"))
        elif observation.strokes > 0:
            near.append(observation)
    return near


class _Sums:
    """The log-likelihood and its slopes at one shape and scale.

    In ``z = shape (ln t - ln scale)`` and ``h = exp(z)``, an edge adds to it, but for -ln t:
    dull ``ln shape + z - h``, sharp ``-h``, overdue ``ln(1 - exp(-h))``. ``first`` is the slope of
    that along z, and ``_second`` the slope of the slope.
    """

    def __init__(self, edges: Sequence[Observation], log_shape: float, log_scale: float) -> None:
        self.edges = edges
        self.shape = exp(log_shape)
        self.log_shape, self.log_scale = log_shape, log_scale
        self.z = [self.shape * (log(edge.strokes) - log_scale) for edge in edges]
        self.first = [_first(one, z) for one, z in zip(edges, self.z, strict=True)]

    @property
    def events(self) -> int:
        """Edges found dull."""
        return sum(edge.kind == "dull" for edge in self.edges)

    @property
    def scale_slope(self) -> float:
        """Slope of the log-likelihood along -ln scale, over the shape."""
        return sum(self.first)

    @property
    def shape_slope(self) -> float:
        """Slope of the log-likelihood along ln shape."""
        return self.events + sum(a * z for a, z in zip(self.first, self.z, strict=True))

    @property
    def log_likelihood(self) -> float:
        """The log-likelihood, in the unit that the strokes are in."""
        return sum(
            _log_likelihood(one, z, self.log_shape)
            for one, z in zip(self.edges, self.z, strict=True)
        )

    @property
    def errors(self) -> tuple[float, float]:
        """Standard errors of ln shape and ln scale: the inverse of the observed information."""
        second = [_second(one, z) for one, z in zip(self.edges, self.z, strict=True)]
        parts = list(zip(self.first, second, self.z, strict=True))
        shapes = -sum(b * z * z + a * z for a, b, z in parts)
        scales = -(self.shape**2) * sum(second)
        both = self.shape * sum(b * z + a for a, b, z in parts)
        size = shapes * scales - both * both
        return sqrt(scales / size), sqrt(shapes / size)


def _first(one: Observation, z: float) -> float:
    hazard = _hazard(z)
    if one.kind == "left":
        return hazard / expm1(hazard) if hazard < _STEEPEST else 0.0
    return (1.0 if one.kind == "dull" else 0.0) - hazard


def _second(one: Observation, z: float) -> float:
    hazard, first = _hazard(z), _first(one, z)
    return first * (1 - hazard - first) if one.kind == "left" else -hazard


def _hazard(z: float) -> float:
    return exp(max(-_STEEPEST, min(z, _STEEPEST)))


def _log_likelihood(one: Observation, z: float, log_shape: float) -> float:
    hazard = _hazard(z)
    if one.kind == "left":
        return log(-expm1(-hazard))
    return (log_shape + z - log(one.strokes) if one.kind == "dull" else 0.0) - hazard


def _log_scale(edges: Sequence[Observation], log_shape: float) -> float:
    # As ln(scale ** shape), so that one bracket fits the flattest and the steepest shape.
    def slope(log_power: float) -> float:
        return _Sums(edges, log_shape, log_power / exp(log_shape)).scale_slope

    shortest = exp(log_shape) * log(min(edge.strokes for edge in edges))
    return _root(slope, (shortest - _BESIDE, _BESIDE)) / exp(log_shape)


def _root(slope: Callable[[float], float], bounds: tuple[float, float]) -> float:
    from scipy.optimize import brentq

    low, high = bounds
    if slope(low) * slope(high) > 0:
        message = "the edges leave the life open: found dull at one count only, or never"
        raise BadValue(message, way_out="wait for more edges, or hold the shape of the settings")
    return float(brentq(slope, low, high, xtol=1e-13, rtol=1e-14))


def _in_unit_of_longest(
    observations: Sequence[Observation], least_events: int
) -> tuple[float, list[Observation]]:
    events = sum(observation.kind == "dull" for observation in observations)
    if events < max(1, least_events):
        message = f"{events} edges were found dull, must be >= {max(1, least_events)}"
        raise BadValue(message, way_out="hold the shape of the settings until then")
    for observation in observations:
        require_sound(observation)
        require_positive(strokes=observation.strokes)
    unit = max(observation.strokes for observation in observations)
    return unit, [
        Observation(observation.strokes / unit, observation.kind) for observation in observations
    ]


def _fit(sums: _Sums, unit: float) -> WeibullFit:
    shape_error, scale_error = sums.errors
    scale = unit * exp(sums.log_scale)
    return WeibullFit(
        shape=sums.shape,
        scale=scale,
        shape_error=sums.shape * shape_error,
        scale_error=scale * scale_error,
        log_likelihood=sums.log_likelihood - sums.events * log(unit),
        events=sums.events,
    )
