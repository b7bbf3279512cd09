"""The textbook's conditioning of a normal, to fifty digits and without the engine.

Unknowns x ~ N(0, I); readings y = J x + noise. With S = J Jᵀ + D, D the squares of the noise:
mean Jᵀ S⁻¹ y, covariance I - Jᵀ S⁻¹ J. All readings at once, by Gauss's elimination.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Context, Decimal, localcontext

DIGITS = 50
Matrix = list[list[Decimal]]
Told = Sequence[tuple[Sequence[float], float, float]]
"""of each reading: its row, its value and its noise"""


def solved(matrix: Matrix, right: Matrix) -> Matrix:
    """X with matrix·X = right, by elimination with the largest pivot of each column."""
    rows = [list(a) + list(b) for a, b in zip(matrix, right, strict=True)]
    count = len(matrix)
    for i in range(count):
        best = max(range(i, count), key=lambda r: abs(rows[r][i]))
        rows[i], rows[best] = rows[best], rows[i]
        pivot = rows[i][i]
        rows[i] = [value / pivot for value in rows[i]]
        for r in range(count):
            if r != i and rows[r][i]:
                factor = rows[r][i]
                rows[r] = [a - factor * b for a, b in zip(rows[r], rows[i], strict=True)]
    return [row[count:] for row in rows]


def dot(a: Sequence[Decimal], b: Sequence[Decimal]) -> Decimal:
    """Sum of the products."""
    return sum((x * y for x, y in zip(a, b, strict=True)), Decimal(0))


def conditioned(count: int, readings: Told) -> tuple[list[float], list[list[float]]]:
    """Mean and covariance of ``count`` unknowns after all readings, in the space of readings."""
    with localcontext(Context(prec=DIGITS)):
        rows = [[Decimal(x) for x in row] for row, _, _ in readings]
        across = [[dot(a, b) for b in rows] for a in rows]
        for i, (_, _, noise) in enumerate(readings):
            across[i][i] += Decimal(noise) ** 2
        right = [[Decimal(value), *row] for (_, value, _), row in zip(readings, rows, strict=True)]
        inverse_times = solved(across, right)
        columns = [[row[j] for row in rows] for j in range(count)]
        weighted = list(zip(*inverse_times, strict=True))
        mean = [float(dot(column, weighted[0])) for column in columns]
        covariance = [
            [float(Decimal(i == j) - dot(columns[i], weighted[1 + j])) for j in range(count)]
            for i in range(count)
        ]
    return mean, covariance


def conditioned_by_unknowns(count: int, readings: Told) -> tuple[list[float], list[list[float]]]:
    """The same in the space of unknowns: covariance (I + Jᵀ D⁻¹ J)⁻¹, mean covariance·Jᵀ D⁻¹ y.

    The cheaper of the two when there are many readings of few unknowns.
    """
    with localcontext(Context(prec=DIGITS)):
        precision = [[Decimal(i == j) for j in range(count)] for i in range(count)]
        push = [Decimal(0)] * count
        for row, value, noise in readings:
            exact = [Decimal(x) for x in row]
            weight = 1 / Decimal(noise) ** 2
            for i, x in enumerate(exact):
                if x:
                    push[i] += x * weight * Decimal(value)
                    precision[i] = [
                        p + x * weight * y for p, y in zip(precision[i], exact, strict=True)
                    ]
        unit = [[Decimal(i == j) for j in range(count)] for i in range(count)]
        inverse = solved(precision, unit)
        mean = [float(dot(row, push)) for row in inverse]
        return mean, [[float(x) for x in row] for row in inverse]
