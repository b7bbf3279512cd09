"""Hypothesis's functions on the bits of a float, in plain Python.

Hypothesis carries them compiled, and what is compiled for this machine cannot be loaded by the
browser's Python. There this file takes their place. A test compares each with the compiled one.
`width` is the size of the float in bits everywhere: 16, 32 or 64 (IEEE 754).
"""

from __future__ import annotations

from math import copysign, inf, isnan, sqrt
from struct import pack, unpack

FORMS = {16: ("<e", "<H"), 32: ("<f", "<I"), 64: ("<d", "<Q")}
NORMALS = {16: 2.0**-14, 32: 2.0**-126, 64: 2.0**-1022}


def float_to_int(value: float, width: int = 64) -> int:
    """The bits of a float as a whole number."""
    real, whole = FORMS[width]
    return unpack(whole, pack(real, value))[0]


def int_to_float(value: int, width: int = 64) -> float:
    """The float with these bits."""
    real, whole = FORMS[width]
    return unpack(real, pack(whole, value))[0]


def float_of(x: float, width: int) -> float:
    """The nearest float of this width. OverflowError where there is none."""
    return int_to_float(float_to_int(x, width), width)


def is_negative(x: float) -> bool:
    """Whether the sign is set; of minus zero it is."""
    return not isnan(x) and copysign(1.0, x) < 0


def width_smallest_normals(width: int) -> float:
    """The smallest positive float with a full mantissa."""
    return NORMALS[width]


def next_up(value: float, width: int = 64) -> float:
    """The next larger float; the zeros count as two."""
    if isnan(value) or value == inf:
        return value
    if value == 0 and is_negative(value):
        return 0.0
    return int_to_float(float_to_int(value, width) + (-1 if value < 0 else 1), width)


def next_down(value: float, width: int = 64) -> float:
    """The next smaller float; the zeros count as two."""
    return -next_up(-value, width)


def next_up_normal(value: float, width: int, *, allow_subnormal: bool) -> float:
    """The next larger float, those with a short mantissa left out if they are not allowed."""
    after = next_up(value, width)
    normal = NORMALS[width]
    if allow_subnormal or not 0 < abs(after) < normal:
        return after
    return normal if after > 0 else -0.0


def next_down_normal(value: float, width: int, *, allow_subnormal: bool) -> float:
    """The next smaller float, by the same rule."""
    return -next_up_normal(-value, width, allow_subnormal=allow_subnormal)


def count_between_floats(x: float, y: float, width: int = 64) -> int:
    """How many floats there are from x to y, both counted; x <= y."""
    if is_negative(x) and not is_negative(y):
        return count_between_floats(x, -0.0, width) + count_between_floats(0.0, y, width)
    return abs(float_to_int(y, width) - float_to_int(x, width)) + 1


def cathetus(h: float, a: float) -> float:
    """The other short side of a right triangle; only random complex numbers ask for it."""
    return sqrt(h - a) * sqrt(h + a)
