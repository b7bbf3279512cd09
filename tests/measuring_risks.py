"""What an acceptance rule costs: wrong acceptances and wrong refusals (JCGM 106:2012, 9.5).

The rule is the engine's own, asked value by value; the integrals are SciPy's.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from scipy.integrate import quad
from scipy.stats import norm

from engine.study import Range
from engine.verdict import beyond


def accepted(band: Range, guard: float) -> tuple[float, float]:
    """The ends of what the engine's rule takes for within, found by asking it."""

    def edge(inside: float, outside: float) -> float:
        for _ in range(200):
            middle = (inside + outside) / 2
            if beyond(middle, band, guard) <= 0:
                inside = middle
            else:
                outside = middle
        return inside

    middle = band.expected
    assert beyond(middle, band, guard) <= 0
    far = 100 * (1 + abs(middle))
    low = -np.inf if band.low is None else edge(middle, middle - far)
    high = np.inf if band.high is None else edge(middle, middle + far)
    return low, high


def risks(process, limits_of: Range, guard: float, u: float) -> tuple[float, float]:
    """Chance that a thing is out and accepted, and that it is in and refused (JCGM 106 9.5)."""
    low, high = accepted(limits_of, guard)
    t_low = -np.inf if limits_of.low is None else limits_of.low
    t_high = np.inf if limits_of.high is None else limits_of.high

    def taken(true: float) -> float:
        return norm.cdf((high - true) / u) - norm.cdf((low - true) / u)

    start, end = process.ppf(1e-14), process.isf(1e-14)
    turns = sorted({start, end, *(t for t in (t_low, t_high) if start < t < end)})
    wrong_accept = wrong_refuse = 0.0
    for a, b in pairwise(turns):
        inside = t_low <= (a + b) / 2 <= t_high
        share, _ = quad(
            lambda t, inside=inside: process.pdf(t) * (1 - taken(t) if inside else taken(t)),
            a,
            b,
            epsabs=1e-12,
            limit=200,
        )
        if inside:
            wrong_refuse += share
        else:
            wrong_accept += share
    return wrong_accept, wrong_refuse
