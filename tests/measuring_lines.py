"""The straight line: slopes by differences, first-order deviations, lines and ties learned."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import sqrt

import numpy as np
import pytest

from engine.band import Band
from engine.knowing import Known
from engine.unknowns import moments


def digits(printed: str) -> object:
    """Equal to a printed number to its last digit, which may be a rounding away."""
    mantissa, _, power = printed.partition("e")
    _, _, decimals = mantissa.partition(".")
    return pytest.approx(float(printed), abs=0.55 * 10 ** (int(power or 0) - len(decimals)))


def limits(half: float, middle: float = 0.0) -> Band:
    """Symmetric limits."""
    return Band(middle - half, middle, middle + half)


def slopes(figure: Callable, at: Sequence[float], steps: Sequence[float]) -> list[float]:
    """By how much a figure moves for one step of each input: central differences."""
    out = []
    for i, step in enumerate(steps):
        ends = []
        for share in (1e-3, -1e-3):
            moved = list(at)
            moved[i] += share * step
            ends.append(figure(*moved))
        out.append((ends[0] - ends[1]) / 2e-3)
    return out


def first_order(figure: Callable, bands: Sequence[Band]) -> tuple[float, float]:
    """Value and deviation of a figure, of inputs known by their limits, on the straight line."""
    inputs = [moments(band) for band in bands]
    means = [one.mean for one in inputs]
    row = slopes(figure, means, [one.sd for one in inputs])
    return figure(*means), sqrt(Known.nothing(len(row)).variance(row))


def drawn(bands: Sequence[Band], count: int, seed: int = 1) -> list[np.ndarray]:
    """Rectangular draws between limits."""
    rng = np.random.default_rng(seed)
    return [rng.uniform(band.low, band.high, count) for band in bands]


class Line:
    """A straight line through points, learned point by point from a vague start.

    The start is drawn to the points in a few rounds, as a reading's slope is drawn anew about
    the present means; the noise is that of the residuals.
    """

    def __init__(self, x: Sequence[float], y: Sequence[float], vague: float = 1e3) -> None:
        across = max(abs(one) for one in x)
        self.rows = [[1.0, one / across] for one in x]
        self.across, self.mean, self.noise = across, [0.0, 0.0], 1.0
        for _ in range(8):
            self.width = vague * self.noise
            self.known = Known.nothing(2)
            start = list(self.mean)
            for row, one in zip(self.rows, y, strict=True):
                scaled = [self.width * x for x in row]
                here = start[0] * row[0] + start[1] * row[1]
                shift = sum(m * s for m, s in zip(self.known.mean, scaled, strict=True))
                self.known = self.known.told(scaled, one - here - shift, self.noise)
            self.mean = [a + self.width * m for a, m in zip(start, self.known.mean, strict=True)]
            residuals = [
                one - self.mean[0] - self.mean[1] * row[1]
                for row, one in zip(self.rows, y, strict=True)
            ]
            self.left = sum(r * r for r in residuals)
            self.noise = sqrt(self.left / (len(y) - 2))
        total = sum((one - sum(y) / len(y)) ** 2 for one in y)
        self.r_squared = 1 - self.left / total

    @property
    def slope(self) -> float:
        """Per unit of x."""
        return self.mean[1] / self.across

    def deviation(self, a: float, b: float) -> float:
        """Of a x intercept + b x slope."""
        return self.width * sqrt(self.known.variance([a, b / self.across]))

    def tie(self) -> float:
        """Correlation of intercept and slope."""
        both = self.known.variance([1.0, 0.0]) * self.known.variance([0.0, 1.0])
        return self.known.covariance([1.0, 0.0], [0.0, 1.0]) / sqrt(both)


NORRIS = (
    "0.1 0.2  338.8 337.4  118.1 118.2  888.0 884.6  9.2 10.1  228.1 226.5  668.5 666.3 "
    "998.5 996.3  449.1 448.6  778.9 777.0  559.2 558.2  0.3 0.4  0.1 0.6  778.1 775.5 "
    "668.8 666.9  339.3 338.0  448.9 447.5  10.8 11.6  557.7 556.0  228.3 228.1  998.0 995.8 "
    "888.8 887.6  119.6 120.2  0.3 0.3  0.6 0.3  557.6 556.8  339.3 339.1  888.0 887.2 "
    "998.5 999.0  778.9 779.0  10.2 11.1  117.6 118.3  228.9 229.2  668.4 669.1  449.2 448.9 "
    "0.2 0.5"
)
"""NIST StRD, Norris: y and x of 36 points (ozone monitors), from the certified file"""

IMPEDANCE = np.array(
    [
        (5.007, 19.663e-3, 1.0456),
        (4.994, 19.639e-3, 1.0438),
        (5.005, 19.640e-3, 1.0468),
        (4.990, 19.685e-3, 1.0428),
        (4.999, 19.678e-3, 1.0433),
    ]
)
"""volts, amps, radians of JCGM 100 Table H.2"""
FIGURES = {
    "R": lambda v, i, phi: v / i * np.cos(phi),
    "X": lambda v, i, phi: v / i * np.sin(phi),
    "Z": lambda v, i, phi: v / i,
}
VAGUE = 1000.0
"""deviations of what is read that a vague prior is wide"""


def impedance() -> tuple[np.ndarray, np.ndarray, Known]:
    """Means, scale, and what is known of volts, amps, phase after all five rows.

    The unknowns start vague and free; readings that weigh as the inverse of the means'
    covariance does tie them as the rows tied them.
    """
    means = IMPEDANCE.mean(axis=0)
    covariance = np.cov(IMPEDANCE.T) / len(IMPEDANCE)
    scale = VAGUE * np.sqrt(np.diag(covariance))
    weights = np.linalg.cholesky(np.linalg.inv(covariance)).T * scale
    start = means + 0.01 * scale
    known = Known.nothing(3)
    off = (means - start) / scale
    for row in weights:
        surplus = float(row @ off) - float(row @ np.array(known.mean))
        known = known.told([float(x) for x in row], surplus, 1.0)
    return start, scale, known
