"""A quantity that is not known exactly: low, expected, high."""

from __future__ import annotations

from typing import Literal

from attrs import frozen

Corner = Literal["low", "expected", "high"]
CORNERS: tuple[Corner, ...] = ("low", "expected", "high")


@frozen
class Band:
    """Low, expected and high value of one quantity, all in the unit of its key.

    Three equal numbers mean that the value is exact.
    """

    low: float
    expected: float
    high: float

    @classmethod
    def exact(cls, value: float) -> Band:
        """The band of a value that is known exactly."""
        return cls(value, value, value)

    def __add__(self, other: Band) -> Band:
        """The band of a sum."""
        return Band(self.low + other.low, self.expected + other.expected, self.high + other.high)

    def at(self, corner: Corner) -> float:
        """The value at one corner of the design."""
        value: float = getattr(self, corner)
        return value


ZERO = Band.exact(0.0)
ONE = Band.exact(1.0)
