"""The algebra of a fit, in plain lists: a lower factor of 1 + J Jᵀ, and what is solved with it.

Cholesky's factorisation, textbook. The rows of J are readings, of which there are fewer than
unknowns.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import log, sqrt

from engine.knowing import Row, sumprod
from engine.sliced import Steps

A_SLICE = 24
"""rows between two yields"""


def factoring(rows: list[Row]) -> Steps[list[Row]]:
    """The lower factor of 1 + J Jᵀ (Cholesky, textbook)."""
    out: list[Row] = []
    below: list[tuple[Row, Row, float]] = []
    """of each row so far: itself, its row of the factor in front of the diagonal, the diagonal"""
    for i, row in enumerate(rows):
        new: Row = []
        for other, front, last in below:
            new.append((sumprod(row, other) - sumprod(new, front)) / last)
        last = sqrt(max(1.0 + sumprod(row, row) - sumprod(new, new), 1e-12))
        below.append((row, new, last))
        out.append([*new, last])
        if i % A_SLICE == A_SLICE - 1:
            yield
    return out


def forward(factor: tuple[Row, ...] | list[Row], right: Row) -> Row:
    """x of L x = b."""
    out: Row = []
    for i, row in enumerate(factor):
        out.append((right[i] - sumprod(row[:i], out)) / row[i])
    return out


def backward(factor: tuple[Row, ...] | list[Row], right: Row) -> Row:
    """x of Lᵀ x = b."""
    out = list(right)
    for i in range(len(factor) - 1, -1, -1):
        out[i] /= factor[i][i]
        for j in range(i):
            out[j] -= factor[i][j] * out[i]
    return out


def across(rows: list[Row], weights: Row, count: int) -> Row:
    """Jᵀ w."""
    out = [0.0] * count
    for row, weight in zip(rows, weights, strict=True):
        out = [o + weight * by for o, by in zip(out, row, strict=True)]
    return out


def half_log_det(factor: Sequence[Row]) -> float:
    """Half the logarithm of a determinant, by its factor."""
    return sum(log(row[i]) for i, row in enumerate(factor))
