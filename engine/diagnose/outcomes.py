"""What may come of a test under a guess, and how much an outcome tells of which guess is right."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import exp, log2, pi, sqrt
from statistics import NormalDist

from attrs import frozen

from engine.knowing import sumprod

_GRID = 6
_NORMAL = NormalDist()
DRAWS = tuple(
    (
        _NORMAL.inv_cdf((i + 0.5) / _GRID),
        _NORMAL.inv_cdf((0.5 + i * 0.6180339887498949) % 1),
    )
    for i in range(_GRID)
)
"""points of two normal quantities, spread evenly (a golden-ratio lattice, textbook)"""


Density = Callable[[Sequence[float]], float]


@frozen
class Blob:
    """One thing that may come of a test under one guess: a word, and figures about a mean."""

    share: float
    word: str
    mean: tuple[float, ...] = ()
    cov: tuple[float, float, float] = (1.0, 0.0, 1.0)

    @property
    def sort(self) -> tuple[str, int]:
        """The word and how many figures stand beside it: others' outcomes it never gives."""
        return self.word, len(self.mean)

    @property
    def density(self) -> Density:
        """How readily it gives an outcome of its own sort."""
        share = self.share
        if not self.mean:
            return lambda _: share
        a, ab, b = self.cov
        first = self.mean[0]
        if len(self.mean) == 1:
            root = sqrt(2 * pi * a)

            def along(at: Sequence[float]) -> float:
                x = at[0] - first
                return share * exp(-x * x / a / 2) / root

            return along
        second, det = self.mean[1], max(a * b - ab * ab, 1e-12)
        area = 2 * pi * sqrt(det)

        def across(at: Sequence[float]) -> float:
            x, y = at[0] - first, at[1] - second
            squares = (b * x * x - 2 * ab * x * y + a * y * y) / det
            return share * exp(-squares / 2) / area

        return across

    def draws(self) -> Iterator[tuple[float, ...]]:
        """Figures it may give, each as likely."""
        a, ab, b = self.cov
        first = sqrt(a)
        for u, v in DRAWS[: 1 if not self.mean else None]:
            if len(self.mean) < 2:
                yield tuple(m + first * u for m in self.mean)
            else:
                slant = ab / first
                yield (
                    self.mean[0] + first * u,
                    self.mean[1] + slant * u + sqrt(max(b - slant * slant, 0.0)) * v,
                )


Outcome = tuple[Blob, ...]


def _by_sort(outcome: Outcome) -> dict[tuple[str, int], list[Density]]:
    out: dict[tuple[str, int], list[Density]] = {}
    for blob in outcome:
        out.setdefault(blob.sort, []).append(blob.density)
    return out


def middle(outcome: Outcome) -> tuple[float, float]:
    """The first figure of an outcome and its deviation; of a word alone, how likely it is."""
    first = outcome[0]
    if not first.mean:
        return sum(blob.share for blob in outcome if blob.word == first.word), 0.1
    whole = sum(blob.share for blob in outcome)
    mean = sum(blob.share * blob.mean[0] for blob in outcome) / whole
    square = sum(blob.share * (blob.mean[0] ** 2 + blob.cov[0]) for blob in outcome) / whole
    return mean, sqrt(max(square - mean * mean, 0.0))


def information(shares: Sequence[float], outcomes: Sequence[Outcome]) -> float:
    """What an outcome is expected to tell of which guess is right. [bits]"""
    bits = 0.0
    tables = [_by_sort(outcome) for outcome in outcomes]
    for number, (share, outcome) in enumerate(zip(shares, outcomes, strict=True)):
        for blob in outcome:
            points = list(blob.draws())
            alike = [table.get(blob.sort, ()) for table in tables]
            for point in points:
                each = [sum([density(point) for density in some]) for some in alike]
                mixed = sumprod(shares, each)
                own = each[number]
                if own > 0 and mixed > 0:
                    bits += share * blob.share / len(points) * log2(own / mixed)
    return max(bits, 0.0)
