"""How likely trouble is in the next year, from how often it came in the years that were seen.

Troubles of one valve are taken as a Poisson process whose yearly rate is not known: before anything
was seen it has a gamma distribution with the mean of all valves of the record, as heavy as ten
valve-years; what was seen is added. Rates are per year [1/yr], spans years [yr].
"""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["Chance", "chance_in_a_year", "fleet_rate", "gamma_quantile"]

PRIOR_TROUBLES, PRIOR_YEARS = 1.0, 10.0
"""One trouble in ten valve-years before anything is known: judgement, no source. [-], [yr]"""
LOW, HIGH = 0.1, 0.9
"""The band that is printed: eight in ten. [-]"""


@dataclass(frozen=True, slots=True)
class Chance:
    """The chance of at least one trouble in the next year [-], and its band."""

    likely: float
    low: float
    high: float


def fleet_rate(troubles: float, years: float) -> float:
    """Yearly rate of all valves together, the prior counted in. [1/yr]

    Source: judgement for the prior, arithmetic for the rest.
    """
    return (PRIOR_TROUBLES + troubles) / (PRIOR_YEARS + years)


def chance_in_a_year(troubles: float, years: float, rate: float) -> Chance:
    """Chance for one valve with ``troubles`` in ``years`` [yr]; ``rate`` is the fleet's [1/yr].

    Source: gamma-Poisson mixture, textbook.
    """
    shape = rate * PRIOR_YEARS + troubles
    scale = PRIOR_YEARS + years
    likely = 1 - (scale / (scale + 1)) ** shape
    low, high = (1 - math.exp(-gamma_quantile(shape, p) / scale) for p in (LOW, HIGH))
    return Chance(likely, low, high)


def _lower(shape: float, x: float) -> float:
    """Regularised lower incomplete gamma function P(shape, x). [-]"""
    if x <= 0:
        return 0.0
    front = math.exp(shape * math.log(x) - x - math.lgamma(shape))
    if x < shape + 1:
        term = total = 1 / shape
        k = shape
        while abs(term) > abs(total) * 1e-15:
            k += 1
            term *= x / k
            total += term
        return total * front
    tiny = 1e-300
    b = x + 1 - shape
    c, d = 1 / tiny, 1 / b
    h = d
    for i in range(1, 500):
        an = -i * (i - shape)
        b += 2
        d = 1 / (an * d + b or tiny)
        c = b + an / c or tiny
        h *= d * c
        if abs(d * c - 1) < 1e-15:
            break
    return 1 - front * h


def gamma_quantile(shape: float, p: float) -> float:
    """Where a gamma variable of this shape and scale one is below with chance ``p``. [-]

    Source: series and continued fraction of the incomplete gamma function, then halving.
    """
    low, high = 0.0, max(1.0, shape)
    while _lower(shape, high) < p:
        high *= 2
    while high - low > 1e-13 * high:
        middle = (low + high) / 2
        if _lower(shape, middle) < p:
            low = middle
        else:
            high = middle
    return (low + high) / 2
